#pragma once

#include "shown.hpp"

#include <slotwitness/profiles/profile.hpp>
#include <slotwitness/replay/recover.hpp>
#include <slotwitness/state/problem.hpp>
#include <slotwitness/state/reading.hpp>
#include <slotwitness/timeline/timeline.hpp>
#include <slotwitness/units/time.hpp>
#include <slotwitness/warming/warming.hpp>
#include <slotwitness/witness/finding.hpp>

#include <boost/asio/awaitable.hpp>
#include <tl/expected.hpp>

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

/// What the API may ask of the daemon. All calls come from the daemon's one loop thread; none
/// blocks it.
namespace slotwitness::desk {

/// A gate as shown now: the newest recorded finding, with confidence taken back where it has run
/// out.
struct GateView {
    std::string chassis;
    witness::GateFinding finding;
    std::string opened_by;
    std::uint64_t revision =
        0; ///< moves when verdict, failure, standing, truth or reason moves; what the ETag shows
    /// The journal could not take the newest event: what stands here is bad news shown without
    /// evidence.
    bool unrecorded = false;
    std::string code{}; ///< to be read back: witness::code_of
};

/// "router session"
enum class Session {
    connecting,
    connected,
    lost,    ///< tried again after a while
    refused, ///< an operator must mend something; tried again after a while
    halted,  ///< the device refused the credential: not tried again until a person says so
};
[[nodiscard]] std::string_view to_word(Session value);
/// Waiting alone does not bring it back.
[[nodiscard]] bool needs_people(Session value);

/// One component as the last look read it.
struct ComponentView {
    state::Row row;
    std::string asking;
    std::string capture;
    units::Instant answered;
    bool whole = false;
};

/// A place on a face of the chassis; without a name it is a place without a slot.
struct Slot {
    std::string name;
    std::string label; ///< as printed there
};

/// The newest of this run of the daemon.
struct Switchover {
    units::Instant at;
    witness::SwitchedOver what;
};

/// What a list of chassis tells of each.
struct ChassisSummary {
    std::string name;
    std::string family;
    Session session = Session::connecting;
    std::string session_text;          ///< why it is not connected, with the remedy
    std::string session_reason;        ///< the same as one word; empty while connected
    std::string held_up;               ///< why looks come late by the budget; empty if they do not
    std::optional<std::string> serial; ///< as the device reports it
    bool in_band = false;              ///< the way to it leads through its own fabric
    std::optional<witness::SessionOpened> opened; ///< the newest session
    units::Instant opened_at{};                   ///< when it began
    std::optional<Switchover> switchover;
    std::optional<units::Instant> last_answer;
    /// Until when that counts as what is now, at the pace of now.
    std::optional<units::Instant> valid_until;
    std::size_t unread_lines = 0; ///< of the newest answers
    std::size_t gates_pending = 0;
    std::optional<std::string> procedure; ///< the id of the one under way
};

struct ChassisView : ChassisSummary {
    std::map<profiles::Side, std::vector<std::vector<Slot>>>
        faces;                             ///< rows from the top, each from the left
    std::vector<ComponentView> components; ///< of the newest answer to each query
    std::vector<state::UnreadLine> unread; ///< of the newest answers
    std::vector<state::Remark> remarks;
    std::optional<witness::BaselineFixed> baseline; ///< what comparisons compare with
    bool baseline_wanted = false;                   ///< one is to take its place
};

/// The newest answer to one query, whole or not.
struct AnswerView {
    std::string asking;
    std::string capture;
    units::Instant asked;
    units::Instant answered;
    witness::Ending ending;
    std::shared_ptr<const std::string> bytes;
    std::shared_ptr<const state::Reading> reading;
};

struct TimelineView {
    timeline::Shown shown;
    std::vector<warming::Outlook> outlooks;
};

/// A procedure as shown now: its texts as opened, and the newest recorded finding of each part.
struct ProcedureView {
    std::string chassis;
    replay::RecordedProcedure record;
    std::uint64_t revision = 0; ///< moves when a person is told something new
    bool unrecorded = false;    ///< as of a gate
};

struct ProcedureWish {
    std::string chassis;
    std::string procedure; ///< as the configuration names it
    std::map<std::string, std::string> arguments;
    std::string by;
    std::string ticket, window, approver;
    std::string idempotency_key;
    /// What is not as it should be before the work begins, and they take it so.
    std::vector<witness::Exception> accepted{};
};

/// What somebody does to a procedure under way.
using ProcedureAct =
    std::variant<witness::StepReleased, witness::StepConfirmed, witness::StepUnconfirmed,
                 witness::StepTriedAgain, witness::StepForced, witness::StopAnswered,
                 witness::DifferenceWaived, witness::BackOutBegun, witness::ShiftTaken,
                 witness::ProcedureClosed, witness::ChassisNamed>;

struct GateWish {
    std::string chassis;
    std::string sentence;
    std::optional<units::Duration> gap;   ///< G; the default of watch otherwise
    std::optional<units::Duration> guard; ///< after its pass; until deleted otherwise
    std::string by;
    std::string idempotency_key;
};

/// What a card is made for: programs, a printer, a terminal.
enum class CardForm { json, page, text };

/// Why something was not done, by what the caller does about it.
struct Refusal {
    enum class Kind {
        no_such_chassis,
        no_such_gate,
        no_such_procedure,
        bad_procedure,   ///< an argument is wrong, or it does not fit this chassis
        not_done,        ///< an act upon another state than the present one, or not allowed in it
        bad_sentence,    ///< `problem` has column, found, expected, remedy
        cannot_evaluate, ///< the profile lacks what it needs
        unknown_name,    ///< a name that was never in the inventory
        key_reused,      ///< the idempotency key came with another wish before
        in_flight,       ///< a wish with the same idempotency key is under way: 409
        too_many,        ///< gates open on this chassis
        not_recorded,    ///< the journal cannot take it now
        busy,            ///< too much of it is under way
        stopping,
    };
    Kind kind = Kind::no_such_gate;
    state::Problem problem;
};

struct Health {
    bool ready = false;
    std::vector<std::string> reasons; ///< why not: one sentence each
};

/// The evidence pack of a procedure as a tar stream (pack/chain_stream.hpp).
class Evidence {
  public:
    virtual ~Evidence() = default;
    /// The next piece, a page of the journal or one answer; empty at the end. The error is the
    /// journal's.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<std::string, std::string>> next() = 0;
};

class Desk {
  public:
    virtual ~Desk() = default;

    [[nodiscard]] virtual units::Instant now() const = 0;
    [[nodiscard]] virtual std::vector<ChassisSummary> all_chassis() const = 0;
    [[nodiscard]] virtual std::optional<ChassisView> chassis(std::string_view name) const = 0;
    /// In the order of their askings.
    [[nodiscard]] virtual std::optional<std::vector<AnswerView>>
    answers(std::string_view chassis) const = 0;
    [[nodiscard]] virtual std::optional<TimelineView> timeline(std::string_view chassis) const = 0;
    /// Newest first. As of now: confidence that has run out is taken back.
    [[nodiscard]] virtual std::vector<SharedView<GateView>> gates() const = 0;
    /// Likewise; null if there is none.
    [[nodiscard]] virtual SharedView<GateView> gate(std::string_view id) const = 0;
    [[nodiscard]] virtual Health health() const = 0;

    /// Returns when the opening is in the journal. The same key with the same wish returns the gate
    /// it opened.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<GateView, Refusal>>
    open_gate(GateWish wish) = 0;
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<GateView, Refusal>>
    close_gate(std::string id, std::string by) = 0;
    /// Returns when the wish is in the journal: the next round that brings a whole answer to every
    /// query becomes the baseline.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<void, Refusal>>
    want_baseline(std::string chassis, std::string by) = 0;
    /// Connects at once, also where it waited for that: the credential may be tried once more.
    [[nodiscard]] virtual tl::expected<void, Refusal> connect_again(std::string_view chassis,
                                                                    std::string_view by) = 0;
    /// Returns when the gate's revision is no longer `seen` (nothing: when it is decided), at
    /// `until` at the latest, or at once if there is no such gate. Never throws on cancellation.
    [[nodiscard]] virtual boost::asio::awaitable<void>
    gate_change(std::string id, std::optional<std::uint64_t> seen, units::Instant until) = 0;

    /// As `gates`.
    [[nodiscard]] virtual std::vector<SharedView<ProcedureView>> procedures() const = 0;
    [[nodiscard]] virtual SharedView<ProcedureView> procedure(std::string_view id) const = 0;
    /// Its run sheet, as HTML.
    [[nodiscard]] virtual tl::expected<std::string, Refusal>
    run_sheet(std::string_view id) const = 0;
    /// Its card as of now, read from the journal: the close-out, or the shift handover.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<std::string, Refusal>>
    card(std::string id, CardForm form) = 0;
    /// Returns when the chain of its chassis was verified up to now; the desk outlives it.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
    evidence(std::string id) = 0;
    /// As open_gate.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<ProcedureView, Refusal>>
    open_procedure(ProcedureWish wish) = 0;
    /// Returns when the act is in the journal, or was refused.
    [[nodiscard]] virtual boost::asio::awaitable<tl::expected<ProcedureView, Refusal>>
    act(ProcedureAct act) = 0;
    /// As gate_change; without `seen` until it is closed.
    [[nodiscard]] virtual boost::asio::awaitable<void>
    procedure_change(std::string id, std::optional<std::uint64_t> seen, units::Instant until) = 0;
};

/// Whether the view may still be shown as it was recorded.
[[nodiscard]] bool holds_at(const GateView& view, units::Instant now);
[[nodiscard]] bool holds_at(const ProcedureView& view, units::Instant now);
/// The view with confidence taken back if it does not hold any more, the same whenever it is asked
/// for after that: truth unknown, a standing unseen, and said so. A verdict stays. `revision` moves
/// with it.
[[nodiscard]] GateView as_of(GateView view, units::Instant now);
/// STATE MET falls to WAIT.
[[nodiscard]] ProcedureView as_of(ProcedureView view, units::Instant now);

/// Of which procedure the act is.
[[nodiscard]] const std::string& procedure_of(const ProcedureAct& act);

} // namespace slotwitness::desk
