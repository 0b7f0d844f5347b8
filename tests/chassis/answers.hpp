#pragma once

#include "snapshot.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::chassis {

/// What a command gives back: as a program does, on two streams and with an exit status.
struct Answer {
    std::string out;
    std::string err;
    int status = 0;
};

/// The answer to a command line from two states of the chassis: `renewed`, the last renewal of its
/// tables, and `live`, from which it answers what it does not keep in tables (`tell chassis`, `tell
/// alarms`). A command that it does not know: status 1 and a line on the error stream.
[[nodiscard]] Answer answer(std::string_view command, const Snapshot& renewed,
                            const Snapshot& live);

/// The words that may follow `tell`, without `module`, which takes a slot.
[[nodiscard]] const std::vector<std::string>& tell_words();

} // namespace slotwitness::chassis
