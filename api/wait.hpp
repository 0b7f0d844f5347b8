#pragma once

#include "answer.hpp"

namespace slotwitness::api {

/// Returns when what is waited for has changed, when its time is over, when the client leaves, when
/// the desk stops, or when the coroutine is cancelled. Call it as `answer`.
[[nodiscard]] boost::asio::awaitable<void> await_change(AwaitChange wait, desk::Desk& desk,
                                                        Leaving leaving);

} // namespace slotwitness::api
