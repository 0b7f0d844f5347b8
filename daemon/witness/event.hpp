#pragma once

#include "procedure.hpp"

#include <slotwitness/state/reading.hpp>
#include <slotwitness/units/quantity.hpp>
#include <slotwitness/units/time.hpp>

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

/// What can happen to one chassis, in the order that its sequencer fixed. Plain values: the journal
/// stores them, the witness steps over them, the replay does so again.
namespace slotwitness::witness {

using units::Duration;
using units::Instant;

/// Numbers the rounds of one chassis, from 1, across restarts.
using RoundNumber = std::uint64_t;

/// A round of queries begins: nothing has been sent yet.
struct RoundStarted {
    RoundNumber round = 0;
    std::vector<std::string> askings; ///< the keys to be asked, in order, at least one
};

/// A run of the daemon begins (also the first). Readings are discarded; gates, inventory, baseline
/// stay.
struct RunStarted {
    std::string boot_id;          ///< of the machine
    std::int64_t boottime_ms = 0; ///< CLOCK_BOOTTIME then
    std::int64_t wall_ms = 0;     ///< wall clock then, Unix
    bool wall_synchronised = false;
    std::int64_t offset_ms = 0; ///< chosen: instant = boottime + offset
    /// False where the time between the runs cannot be known (another boot, and the wall clock
    /// stepped back or is not synchronised): pending deadlines then fail as not seen.
    bool elapsed_known = true;
    std::string profile; ///< digest of the profile's text in the journal
    /// Names that the configuration states, by kind; empty kinds are not stated.
    std::map<state::Kind, std::vector<std::string>> inventory;
    std::optional<units::Decimal> peak_load; ///< of the chassis, b/s, where the configuration
                                             ///< states it
    /// What was shown to people while nothing could be recorded: it stops the work until somebody
    /// answers, though the answers that showed it are not in the journal.
    std::vector<UnrecordedLoss> lost;
    /// The round under way, where the run goes on in the midst of one: what still comes of it can
    /// refute a rule, no more.
    std::optional<RoundStarted> cut;
};

/// A session to the chassis stands: where, and what both sides agreed upon (names of RFC 4250 and
/// its successors).
struct SessionOpened {
    std::string address;  ///< "192.0.2.7:22", with the bastions on the way
    std::string host_key; ///< that it showed: "SHA256:…"
    std::string serial;   ///< of the chassis, as it told it right after; empty: it was not asked
    std::string key_exchange, signature, cipher_to, cipher_from, mac_to, mac_from;
    std::vector<std::string> weak; ///< those of them that nobody should use today
    friend bool operator==(const SessionOpened&, const SessionOpened&) = default;
};

/// How the transport ended an answer.
struct Ending {
    bool ended = false;             ///< EOF seen
    std::optional<int> exit_status; ///< as the server told it
    std::string remark; ///< what the person should know: "cut after 812 bytes: timed out"
    bool proven =
        true; ///< false: the profile was not tried with the device's software; `remark` says so
    /// All of it came.
    [[nodiscard]] bool complete() const { return ended && exit_status == 0; }
    /// It may confirm: all of it came, and its words mean what the profile says.
    [[nodiscard]] bool whole() const { return complete() && proven; }
};

/// An answer was captured. The event's instant is `b`: after its last byte.
struct Answered {
    RoundNumber round = 0;
    std::string asking;
    Instant asked;       ///< before the first byte of the query left
    std::string capture; ///< SHA-256 of the raw bytes, 64 hex digits
    Ending ending;
    std::shared_ptr<const state::Reading>
        reading; ///< never null in a step; not stored: read again from the capture
};

/// Why a look brought no answer, by what a person does about it.
enum class NoAnswer {
    unreachable,   ///< address, route, refused connection
    host_key,      ///< unknown or changed host key
    credential,    ///< the device refused the key
    locked,        ///< the device says that the account is locked
    aaa,           ///< the device does not reach who decides about accounts
    no_line,       ///< all sessions that the device grants are in use
    wrong_chassis, ///< another serial than configured
    session_lost,  ///< the router session dropped
    timed_out,
    refused,  ///< the channel or the exec request was refused
    guarded,  ///< our own guard refused to send it
    internal, ///< our defect
};
[[nodiscard]] std::string_view to_word(NoAnswer value);

/// A query brought no answer at all. The event's instant is when that was known.
struct Failed {
    RoundNumber round = 0;
    std::string asking;
    Instant asked;
    NoAnswer why = NoAnswer::unreachable;
    std::string remark;
};

struct GateOpened {
    std::string id;
    std::string sentence;             ///< canonical
    std::vector<std::string> askings; ///< keys that each look of it needs, sorted, at least one
    Duration gap{0};                  ///< G, > 0, fixed here
    Duration refresh{0};              ///< R, the largest among its queries
    Duration guard{0};                ///< how long it is guarded after its pass; 0: until deleted
    std::string by;                   ///< who opened it
    std::string idempotency_key;
};

/// Cancels a pending gate; retires a decided one. The record stays.
struct GateClosed {
    std::string id;
    std::string by;
};

/// The state of the chassis is to be kept for later comparison: that of the next round, asked from
/// now on, that brings a whole answer to each of these. A newer wish takes the place of one that is
/// not met yet.
struct BaselineWanted {
    std::vector<std::string> askings; ///< keys, sorted, at least one
    std::string by;
};

/// A due instant that the witness asked for was reached.
struct Tick {};

struct Event {
    Instant at;
    std::variant<RunStarted, RoundStarted, Answered, Failed, GateOpened, GateClosed, BaselineWanted,
                 Tick, ProcedureOpened, StepReleased, StepConfirmed, StepUnconfirmed,
                 StepTriedAgain, StepForced, StopAnswered, DifferenceWaived, BackOutBegun,
                 ShiftTaken, ForecastMade, ProcedureClosed, ChassisNamed, SessionOpened>
        what;
};

} // namespace slotwitness::witness
