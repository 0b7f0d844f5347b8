#pragma once

#include "http.hpp"

#include <slotwitness/desk/desk.hpp>
#include <slotwitness/tokens/token.hpp>

#include <boost/asio/awaitable.hpp>

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <variant>

namespace slotwitness::api {

/// What has to happen before the response can be made.
struct OpenGate {
    desk::GateWish wish;
};
struct CloseGate {
    std::string id;
    std::string by;
};
struct OpenProcedure {
    desk::ProcedureWish wish;
};
struct ActOn {
    desk::ProcedureAct act;
};
struct MakeCard {
    std::string id;
    desk::CardForm form = desk::CardForm::json;
};
struct WantBaseline {
    std::string chassis;
    std::string by;
};
struct ConnectAgain {
    std::string chassis;
    std::string by;
};
struct AwaitChange {
    enum class Of { gate, procedure };
    Of of = Of::gate;
    std::string id;
    /// The revision that the client has; nothing: it waits for the decision.
    std::optional<std::uint64_t> seen;
    units::Instant until;
};

/// Every change from here on, as events.
struct Follow {
    AwaitChange::Of of = AwaitChange::Of::gate;
    std::string id;
    std::string last_event; ///< the newest that the client has
};

/// The evidence pack of a procedure, piece by piece.
struct SendEvidence {
    std::string id;
};

/// What the server counts of itself is told as well.
struct Measure {};

/// A token for the rack of a procedure, to be kept in the file of tokens.
struct MakeRackToken {
    tokens::Wish wish;
};

/// What a handler makes of a request: the response, or what comes before it, or events.
using Next =
    std::variant<Response, OpenGate, CloseGate, OpenProcedure, ActOn, MakeCard, WantBaseline,
                 ConnectAgain, AwaitChange, Follow, SendEvidence, Measure, MakeRackToken>;

/// Made anew for each wait: ends when the client has left, else not before it is cancelled.
using Leaving = std::function<boost::asio::awaitable<void>()>;

/// Does what comes first, and gives the response; `next` is what the request's route made of it,
/// and no Follow, SendEvidence, Measure or MakeRackToken. A wait ends with what there is then when
/// the client leaves or when the coroutine is cancelled; an opening or closing is not cut in half.
/// Call it with cancellation disabled and `throw_if_cancelled` off; it returns with both so.
[[nodiscard]] boost::asio::awaitable<Response> answer(const Request& request, Next next,
                                                      desk::Desk& desk, Leaving leaving);

} // namespace slotwitness::api
