#pragma once

#include "oracle.hpp"

#include <cstdint>

namespace slotwitness::oracle {

/// SplitMix64 (Steele, Lea, Flood, OOPSLA 2014; constants from memory): unlike the library's
/// distributions it is the same everywhere.
class Chance {
  public:
    explicit Chance(std::uint64_t seed) : state_(seed) {}
    /// From 0 to `last`, both counted.
    Time up_to(Time last) {
        return static_cast<Time>(next() % static_cast<std::uint64_t>(last + 1));
    }
    Time between(Time first, Time last) { return first + up_to(last - first); }
    bool in_a_hundred(int percent) { return up_to(99) < percent; }
    bool in_a_thousand(int times) { return up_to(999) < times; }

  private:
    std::uint64_t next() {
        std::uint64_t z = (state_ += 0x9e3779b97f4a7c15U);
        z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
        z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
        return z ^ (z >> 31U);
    }
    std::uint64_t state_;
};

} // namespace slotwitness::oracle
