#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

/// What happens in one simulated run, act by act, made from a seed.
namespace slotwitness::simulation {

/// Of the world outside, since the run began.
using Time = std::chrono::milliseconds;

struct Act {
    enum class Kind {
        // To the chassis' own state.
        release_plane,
        engage_plane,
        degrade_plane, ///< some of its paths are gone, for `lasts`
        flap_plane,    ///< it is dark for `lasts`
        release_module,
        engage_module,
        pull_module, ///< for `lasts`
        pull_tray,   ///< for `lasts`
        // To its sessions, for `lasts`.
        slow,
        lose, ///< answers never come
        cut,
        garble,
        contradict,
        refuse_command,
        refuse_session,
        another_chassis, ///< answers at the address
        drop,            ///< once
        // To the machine.
        full_disk,  ///< for `lasts`; `twist`: it may keep what it did not confirm
        slow_disk,  ///< no commit ends for `lasts`
        sleep,      ///< the machine stands still for `lasts`
        step_clock, ///< of the wall, by `lasts`; `twist`: back
        kill,       ///< begun again after `lasts`; `twist`: the machine was booted
        // By people.
        open_gate,
        open_gate_again, ///< with the key of an earlier one
        close_gate,
        open_procedure,
        go_on,       ///< whatever the procedure waits for; `twist`: rashly
        go_on_twice, ///< two at the same instant
        act_late,    ///< upon what they saw a while ago
        back_out,
        take_shift,
        force,
        close_procedure,
    };
    Time at{0};
    Kind kind = Kind::open_gate;
    unsigned chassis = 0;
    unsigned which = 0; ///< of whatever there are several
    Time lasts{0};
    bool twist = false;
};

struct Schedule {
    std::uint64_t seed = 0; ///< also of what is not written here: latencies, interleavings, ids
    unsigned chassis = 1;
    unsigned parallel = 1; ///< queries at once
    Time lasts{0};
    bool replays = true;   ///< the whole journal at the end; it takes a third of a run
    std::vector<Act> acts; ///< in order of time
};

[[nodiscard]] Schedule schedule_of(std::uint64_t seed);

/// What a gate is opened with.
struct Wish {
    std::string sentence;
    Time gap{0}; ///< the default if 0
    Time guard{0};
};
[[nodiscard]] Wish wish_of(const Act& act);

/// In words, a line an act.
[[nodiscard]] std::string to_text(const Schedule& schedule);
[[nodiscard]] std::string chassis_name(unsigned number);

} // namespace slotwitness::simulation
