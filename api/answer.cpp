#include "answer.hpp"

#include "chassis.hpp"
#include "gates.hpp"
#include "procedures.hpp"
#include "router.hpp"
#include "wait.hpp"

namespace slotwitness::api {

namespace asio = boost::asio;

asio::awaitable<Response> answer(const Request& request, Next next, desk::Desk& desk,
                                 Leaving leaving) {
    if (auto* response = std::get_if<Response>(&next))
        co_return std::move(*response);
    if (auto* open = std::get_if<OpenGate>(&next)) {
        auto opening = desk.open_gate(std::move(open->wish));
        const auto opened = co_await std::move(opening);
        co_return gate_opened(request, opened, desk.now());
    }
    if (auto* close = std::get_if<CloseGate>(&next)) {
        auto closing = desk.close_gate(std::move(close->id), std::move(close->by));
        const auto closed = co_await std::move(closing);
        co_return gate_closed(request, closed, desk.now());
    }
    if (auto* open = std::get_if<OpenProcedure>(&next)) {
        auto opening = desk.open_procedure(std::move(open->wish));
        const auto opened = co_await std::move(opening);
        co_return procedure_opened(request, opened, desk.now());
    }
    if (auto* act = std::get_if<ActOn>(&next)) {
        auto acting = desk.act(std::move(act->act));
        const auto acted = co_await std::move(acting);
        co_return procedure_acted(request, acted, desk.now());
    }
    if (const auto* make = std::get_if<MakeCard>(&next)) {
        const desk::CardForm form = make->form;
        auto making = desk.card(make->id, form);
        const auto made = co_await std::move(making);
        co_return card_made(request, form, made);
    }
    if (auto* want = std::get_if<WantBaseline>(&next)) {
        const std::string chassis = want->chassis;
        auto wanting = desk.want_baseline(std::move(want->chassis), std::move(want->by));
        const auto wanted = co_await std::move(wanting);
        co_return baseline_wanted(request, chassis, wanted, desk);
    }
    if (auto* again = std::get_if<ConnectAgain>(&next)) {
        const auto done = desk.connect_again(again->chassis, again->by);
        co_return connecting_again(request, again->chassis, done, desk);
    }
    AwaitChange wait = std::get<AwaitChange>(std::move(next));
    const std::string id = wait.id;
    const bool of_gate = wait.of == AwaitChange::Of::gate;
    auto waiting = await_change(std::move(wait), desk, std::move(leaving));
    co_await std::move(waiting);
    co_return of_gate ? gate_shown(request, id, desk) : procedure_shown(request, id, desk);
}

} // namespace slotwitness::api
