#pragma once

#include "answers.hpp"
#include "words.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::chassis {

/// A way in which the chassis misbehaves on demand.
struct Fault {
    enum class Kind {
        slow,            ///< nothing is said for `wait`
        cut,             ///< after `bytes` the channel closes, without an exit status
        garble,          ///< bytes are damaged under way
        pager,           ///< a pager's prompts and their erasure stand between the lines
        contradict,      ///< a second row says the opposite of `part` `name`
        disconnect,      ///< half-way the connection drops
        refuse_command,  ///< the account may not run it: status 1
        refuse_auth,     ///< no key is accepted
        change_host_key, ///< new connections meet another host key
    };
    Kind kind = Kind::slow;
    bool once = false; ///< it goes away after the first answer, key or connection that it met
    Time wait{0};
    std::size_t bytes = 0;
    Part part = Part::plane;
    std::string name{};
};
[[nodiscard]] std::string_view to_word(Fault::Kind kind);
[[nodiscard]] const std::vector<Fault::Kind>& fault_kinds();
/// "slow 3000ms", "contradict plane 3 once": as the control socket reads it.
[[nodiscard]] std::string to_text(const Fault& fault);

/// What leaves the chassis for one command, and how.
struct Delivery {
    std::string out;
    std::string err;
    std::optional<int> status; ///< none: the channel closes without
    Time wait{0};              ///< real time before the first byte
    bool drops = false;        ///< after `out` the connection is dropped
};

/// The answer as the faults let it leave. `contradict` acts on the tables, before they are printed.
[[nodiscard]] Delivery deliver(Answer answer, const std::vector<Fault>& faults);

/// Adds the rows that contradict what the snapshot says.
[[nodiscard]] Snapshot contradicted(Snapshot snapshot, const std::vector<Fault>& faults);

} // namespace slotwitness::chassis
