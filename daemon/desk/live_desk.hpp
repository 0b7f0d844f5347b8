#pragma once

#include "desk.hpp"
#include "journal_reader.hpp"
#include "published.hpp"
#include "published_procedures.hpp"
#include "recorder.hpp"
#include "sequencer.hpp"
#include "settings.hpp"
#include "watcher.hpp"

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <set>
#include <span>
#include <string>
#include <utility>
#include <vector>

namespace slotwitness::desk {

/// What the machine says of time; called on any thread: read_machine_time, or a test's.
using MachineReader = std::function<MachineTime()>;

/// How the desk comes by its clock: once it knows the offset that this run goes by.
using ClockMaker = std::function<std::unique_ptr<Clock>(std::int64_t offset_ms)>;

/// What else the desk takes from the machine.
struct Machine {
    /// A number that nobody foresees: for ids, and for the waits between attempts to connect.
    std::function<std::uint32_t()> random = [] { return std::random_device{}(); };
    /// Where the journal's work runs; nothing: on a thread of its own.
    std::optional<boost::asio::any_io_executor> journal_place = std::nullopt;
    /// For cards and evidence; nothing: there are none to be had.
    OpenToRead open_to_read = nullptr;
};

/// The daemon behind its API: joins links, parsers, watch, witness and journal. Everything but
/// `begin` and the destructor runs on the loop thread of `executor`.
class LiveDesk final : public Desk {
  public:
    LiveDesk(boost::asio::any_io_executor executor, std::vector<ChassisSettings> chassis,
             Reconnect reconnect, ProcedureBook book = {});
    ~LiveDesk() override;
    LiveDesk(const LiveDesk&) = delete; ///< what runs on the loop points to it
    LiveDesk& operator=(const LiveDesk&) = delete;

    /// Recovers every chassis from the journal and starts its watch. Blocks while it reads; call it
    /// before the loop runs. An error is the journal's, or a chassis that its journal does not fit.
    [[nodiscard]] tl::expected<void, std::string>
    begin(std::unique_ptr<journal::Store> store, LinkMaker make_link, MachineReader read_machine,
          ClockMaker make_clock, Machine machine = {});
    /// Ends sessions and waits; the loop then runs out of work. What is under way is recorded.
    void stop();

    [[nodiscard]] units::Instant now() const override { return clock_->now(); }
    [[nodiscard]] std::vector<ChassisSummary> all_chassis() const override;
    [[nodiscard]] std::optional<ChassisView> chassis(std::string_view name) const override;
    [[nodiscard]] std::optional<std::vector<AnswerView>>
    answers(std::string_view chassis) const override;
    [[nodiscard]] std::optional<TimelineView> timeline(std::string_view chassis) const override;
    [[nodiscard]] std::vector<SharedView<GateView>> gates() const override {
        return published_->newest_first();
    }
    [[nodiscard]] SharedView<GateView> gate(std::string_view id) const override {
        return published_->gate(id);
    }
    [[nodiscard]] Health health() const override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<GateView, Refusal>>
    open_gate(GateWish wish) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<GateView, Refusal>>
    close_gate(std::string id, std::string by) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<void, Refusal>>
    want_baseline(std::string chassis, std::string by) override;
    [[nodiscard]] tl::expected<void, Refusal> connect_again(std::string_view chassis,
                                                            std::string_view by) override;
    [[nodiscard]] boost::asio::awaitable<void>
    gate_change(std::string id, std::optional<std::uint64_t> seen, units::Instant until) override;

    [[nodiscard]] std::vector<SharedView<ProcedureView>> procedures() const override {
        return published_procedures_->newest_first();
    }
    [[nodiscard]] tl::expected<std::string, Refusal> run_sheet(std::string_view id) const override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::string, Refusal>>
    card(std::string id, CardForm form) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::unique_ptr<Evidence>, Refusal>>
    evidence(std::string id) override;
    [[nodiscard]] SharedView<ProcedureView> procedure(std::string_view id) const override {
        return published_procedures_->procedure(id);
    }
    [[nodiscard]] boost::asio::awaitable<tl::expected<ProcedureView, Refusal>>
    open_procedure(ProcedureWish wish) override;
    [[nodiscard]] boost::asio::awaitable<tl::expected<ProcedureView, Refusal>>
    act(ProcedureAct act) override;
    [[nodiscard]] boost::asio::awaitable<void> procedure_change(std::string id,
                                                                std::optional<std::uint64_t> seen,
                                                                units::Instant until) override;

    /// What open_gate would refuse the wish for at this point; nothing if it would open it.
    [[nodiscard]] std::optional<Refusal> would_refuse(const GateWish& wish) const;

    /// Calls `done` on the loop once all events that were submitted so far are recorded.
    void when_recorded(std::function<void()> done);

    /// Called with every event once it is published; for progress on a terminal.
    void on_published(std::function<void(const std::string& chassis, const Recorded&)> listener);

  private:
    struct Post; ///< one chassis: its settings, sequencer and watcher; in post.hpp
    [[nodiscard]] tl::expected<Post*, Refusal> post_of(std::string_view chassis) const;
    /// Gates and procedures that are under way on these, which are in the order of their names, and
    /// how long what each said counts for that.
    void add_work(std::span<ChassisSummary> chassis) const;
    [[nodiscard]] tl::expected<witness::ProcedureOpened, Refusal>
    plan_procedure(const Post& post, const ProcedureWish& wish) const;
    [[nodiscard]] std::optional<Refusal> busy_group(const Post& post) const;
    [[nodiscard]] std::optional<Refusal> not_alone(const Post& post,
                                                   const witness::ChassisNamed& named) const;
    void published(Post& post, const Recorded& recorded);
    /// Ids are read over the phone: no letter that looks or sounds like a digit.
    [[nodiscard]] std::string make_id() const;
    [[nodiscard]] Refusal no_such_chassis(std::string_view name) const;
    [[nodiscard]] boost::asio::awaitable<void> begin_watch(Post& post);
    [[nodiscard]] tl::expected<witness::GateOpened, Refusal> plan_gate(const Post& post,
                                                                       const GateWish& wish) const;

    boost::asio::any_io_executor executor_;
    std::vector<ChassisSettings> settings_;
    Reconnect reconnect_;
    ProcedureBook book_;
    Machine machine_;
    std::unique_ptr<Clock> clock_;
    std::shared_ptr<Entrance> entrance_;
    std::unique_ptr<Recorder> recorder_;
    std::unique_ptr<JournalReader> journal_;
    std::unique_ptr<Published> published_;
    std::unique_ptr<PublishedProcedures> published_procedures_;
    std::map<std::string, std::unique_ptr<Post>, std::less<>> posts_;
    std::function<void(const std::string&, const Recorded&)> listener_;
    std::set<std::pair<std::string, std::string>>
        opening_keys_; ///< (who, idempotency key) of wishes under way
    std::set<std::string, std::less<>>
        opening_on_; ///< chassis on which the opening of a procedure is being recorded
    std::size_t cards_under_way_ = 0;
    bool stopping_ = false;
};

} // namespace slotwitness::desk
