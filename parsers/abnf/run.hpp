#pragma once

#include "limits.hpp"
#include "matcher.hpp"
#include "program.hpp"

#include <cstddef>
#include <string_view>

namespace slotwitness::abnf {

/// Hears of all that failed at one place.
class Listener {
  public:
    explicit Listener(std::size_t place) : at(place) {}
    Listener(const Listener&) = delete;
    Listener& operator=(const Listener&) = delete;
    virtual ~Listener() = default;

    const std::size_t at;
    /// Instruction `pc`, which began at `begun` in `frame`, failed at `at`.
    virtual void failed(std::uint32_t pc, std::uint32_t begun, std::uint32_t frame) = 0;
};

struct Ran {
    Outcome outcome = Outcome::not_matched;
    std::size_t furthest = 0;
    std::uint64_t steps = 0;
};

/// Runs a program over a text. With a listener it enters also what it knows to fail at the
/// listener's place, so that this is heard in detail.
[[nodiscard]] Ran run(const Program& program, std::string_view text, Stacks& stacks, Budget budget);
void run_for(Listener& listener, const Program& program, std::string_view text, Stacks& stacks,
             Budget budget);

} // namespace slotwitness::abnf
