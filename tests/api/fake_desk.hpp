#pragma once

#include <slotwitness/desk/desk.hpp>

#include <boost/asio/any_io_executor.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>

#include <algorithm>
#include <functional>
#include <list>
#include <stdexcept>

namespace slotwitness::api {

/// A desk whose time, gates and answers the test sets. Its waits end by what the test does, never
/// by a clock.
class FakeDesk final : public desk::Desk {
  public:
    explicit FakeDesk(boost::asio::any_io_executor executor) : executor_(std::move(executor)) {}

    units::Instant time{};
    std::vector<desk::ChassisView> chassis_shown;
    std::vector<desk::AnswerView> answers_shown; ///< of every chassis
    desk::TimelineView timeline_shown;           ///< likewise
    std::vector<desk::GateView> gates_shown;
    desk::Health health_shown{true, {}};
    std::optional<desk::Refusal> refusal; ///< of every opening and closing
    bool defect = false;                  ///< openings throw
    bool stopping = false;                ///< waits for changes return at once
    bool holds_openings = false;          ///< until release()
    std::vector<desk::GateWish> wishes;
    std::vector<std::pair<std::string, std::string>> closed;           ///< id, by whom
    std::vector<std::pair<std::string, std::string>> baselines_wanted; ///< chassis, by whom
    std::vector<std::pair<std::string, std::string>> connects_asked;   ///< chassis, by whom

    std::vector<desk::ProcedureView> procedures_shown;
    std::vector<desk::ProcedureWish> procedure_wishes;
    std::vector<desk::ProcedureAct> acts;

    /// Changes a gate and wakes who waits for it.
    void change(std::string_view id, const std::function<void(desk::GateView&)>& edit) {
        edit(*find(id));
        wake();
    }
    void move_time(units::Duration by) {
        time += by;
        wake();
    }
    void release() {
        holds_openings = false;
        wake();
    }
    [[nodiscard]] std::size_t waiting() const { return waiters_.size(); }

    [[nodiscard]] units::Instant now() const override { return time; }
    [[nodiscard]] std::vector<desk::ChassisSummary> all_chassis() const override {
        return {chassis_shown.begin(), chassis_shown.end()};
    }
    [[nodiscard]] std::optional<desk::ChassisView> chassis(std::string_view name) const override {
        const auto at = std::ranges::find(chassis_shown, name, &desk::ChassisView::name);
        return at == chassis_shown.end() ? std::nullopt : std::optional{*at};
    }
    [[nodiscard]] std::optional<std::vector<desk::AnswerView>>
    answers(std::string_view name) const override {
        return chassis(name) ? std::optional{answers_shown} : std::nullopt;
    }
    [[nodiscard]] std::optional<desk::TimelineView> timeline(std::string_view name) const override {
        return chassis(name) ? std::optional{timeline_shown} : std::nullopt;
    }
    [[nodiscard]] std::vector<desk::SharedView<desk::GateView>> gates() const override {
        std::vector<desk::SharedView<desk::GateView>> all;
        for (const desk::GateView& view : gates_shown)
            all.push_back(desk::Snapshot(view).at(time));
        return all;
    }
    [[nodiscard]] desk::SharedView<desk::GateView> gate(std::string_view id) const override {
        const auto at = std::ranges::find(gates_shown, id, id_of);
        return at == gates_shown.end() ? nullptr : desk::Snapshot(*at).at(time);
    }
    [[nodiscard]] desk::Health health() const override { return health_shown; }

    [[nodiscard]] boost::asio::awaitable<tl::expected<desk::GateView, desk::Refusal>>
    open_gate(desk::GateWish wish) override {
        wishes.push_back(std::move(wish));
        if (defect)
            throw std::logic_error("a defect that the test planted");
        while (holds_openings)
            co_await woken();
        if (refusal)
            co_return tl::unexpected{*refusal};
        desk::GateView view;
        view.chassis = wishes.back().chassis;
        view.finding.id = "g" + std::to_string(gates_shown.size() + 1);
        view.finding.sentence = wishes.back().sentence;
        view.finding.because.text = "it was not looked at yet";
        view.finding.opened = time;
        view.finding.valid_until = time + std::chrono::seconds{30};
        view.opened_by = wishes.back().by;
        view.revision = 2;
        gates_shown.insert(gates_shown.begin(), view);
        co_return view;
    }

    [[nodiscard]] boost::asio::awaitable<tl::expected<desk::GateView, desk::Refusal>>
    close_gate(std::string id, std::string by) override {
        if (refusal)
            co_return tl::unexpected{*refusal};
        closed.emplace_back(id, std::move(by));
        desk::GateView& view = *find(id);
        view.finding.verdict = witness::Verdict::cancelled;
        view.finding.retired = true;
        view.revision += 2;
        co_return view;
    }

    [[nodiscard]] boost::asio::awaitable<tl::expected<void, desk::Refusal>>
    want_baseline(std::string chassis, std::string by) override {
        if (refusal)
            co_return tl::unexpected{*refusal};
        baselines_wanted.emplace_back(std::move(chassis), std::move(by));
        co_return tl::expected<void, desk::Refusal>();
    }

    [[nodiscard]] tl::expected<void, desk::Refusal> connect_again(std::string_view chassis,
                                                                  std::string_view by) override {
        if (refusal)
            return tl::unexpected{*refusal};
        connects_asked.emplace_back(chassis, by);
        return {};
    }

    [[nodiscard]] boost::asio::awaitable<void>
    gate_change(std::string id, std::optional<std::uint64_t> seen, units::Instant until) override {
        co_await boost::asio::this_coro::throw_if_cancelled(false);
        for (;;) {
            const auto view = gate(id);
            const bool news = !view || (seen ? view->revision != *seen
                                             : view->finding.verdict != witness::Verdict::pending);
            if (stopping || news || time >= until)
                co_return;
            co_await woken();
            const auto state = co_await boost::asio::this_coro::cancellation_state;
            if (state.cancelled() != boost::asio::cancellation_type::none)
                co_return;
        }
    }

    [[nodiscard]] std::vector<desk::SharedView<desk::ProcedureView>> procedures() const override {
        std::vector<desk::SharedView<desk::ProcedureView>> all;
        for (const desk::ProcedureView& view : procedures_shown)
            all.push_back(desk::Snapshot(view).at(time));
        return all;
    }
    [[nodiscard]] desk::SharedView<desk::ProcedureView>
    procedure(std::string_view id) const override {
        for (const desk::ProcedureView& view : procedures_shown)
            if (view.record.opened.id == id)
                return desk::Snapshot(view).at(time);
        return nullptr;
    }
    [[nodiscard]] tl::expected<std::string, desk::Refusal>
    run_sheet(std::string_view id) const override {
        if (refusal)
            return tl::unexpected{*refusal};
        return "<!doctype html>\n<title>" + std::string{id} + "</title>\n";
    }
    [[nodiscard]] boost::asio::awaitable<tl::expected<std::string, desk::Refusal>>
    card(std::string id, desk::CardForm form) override {
        if (refusal)
            co_return tl::unexpected{*refusal};
        const std::string kind = form == desk::CardForm::json   ? "json"
                                 : form == desk::CardForm::page ? "page"
                                                                : "text";
        co_return "the card of " + id + " as " + kind + "\n";
    }
    /// Of every pack; at an empty one the journal fails.
    std::vector<std::string> pieces{"first piece", "second"};
    [[nodiscard]] boost::asio::awaitable<
        tl::expected<std::unique_ptr<desk::Evidence>, desk::Refusal>>
    evidence(std::string) override {
        if (refusal)
            co_return tl::unexpected{*refusal};
        co_return std::make_unique<Pieces>(pieces);
    }
    [[nodiscard]] boost::asio::awaitable<tl::expected<desk::ProcedureView, desk::Refusal>>
    open_procedure(desk::ProcedureWish wish) override {
        procedure_wishes.push_back(std::move(wish));
        if (refusal)
            co_return tl::unexpected{*refusal};
        co_return procedures_shown.front();
    }
    [[nodiscard]] boost::asio::awaitable<tl::expected<desk::ProcedureView, desk::Refusal>>
    act(desk::ProcedureAct act) override {
        acts.push_back(std::move(act));
        if (refusal)
            co_return tl::unexpected{*refusal};
        desk::ProcedureView& view = procedures_shown.front();
        view.revision += 2;
        wake();
        co_return view;
    }
    [[nodiscard]] boost::asio::awaitable<void> procedure_change(std::string id,
                                                                std::optional<std::uint64_t> seen,
                                                                units::Instant until) override {
        while (!stopping && time < until && seen && procedure(id)->revision == *seen)
            co_await woken();
    }

  private:
    class Pieces final : public desk::Evidence {
      public:
        explicit Pieces(std::vector<std::string> pieces) : pieces_(std::move(pieces)) {}
        [[nodiscard]] boost::asio::awaitable<tl::expected<std::string, std::string>>
        next() override {
            if (at_ == pieces_.size())
                co_return std::string{};
            if (pieces_[at_].empty())
                co_return tl::unexpected{std::string{"the disk is gone"}};
            co_return pieces_[at_++];
        }

      private:
        std::vector<std::string> pieces_;
        std::size_t at_ = 0;
    };
    static const std::string& id_of(const desk::GateView& view) { return view.finding.id; }
    desk::GateView* find(std::string_view id) {
        return &*std::ranges::find(gates_shown, id, id_of);
    }
    boost::asio::awaitable<void> woken() {
        const auto place = waiters_.emplace(waiters_.end(), executor_,
                                            boost::asio::steady_timer::time_point::max());
        boost::system::error_code ignored;
        co_await place->async_wait(
            boost::asio::redirect_error(boost::asio::use_awaitable, ignored));
        waiters_.erase(place);
    }
    void wake() {
        for (auto& waiter : waiters_)
            waiter.cancel();
    }

    boost::asio::any_io_executor executor_;
    std::list<boost::asio::steady_timer> waiters_;
};

} // namespace slotwitness::api
