#pragma once

#include "words.hpp"

namespace slotwitness::chassis {

/// A quantity that follows its target by a first-order response: after one time constant 63 % of
/// the way is done. Temperatures and fan speeds move like this.
class Response {
  public:
    Response(double value, Time constant);

    /// From `at` on it moves towards `target`. An unchanged target changes nothing.
    void aim(double target, Time at);
    /// From `at` on it stands at `value` until it is aimed again.
    void set(double value, Time at);

    [[nodiscard]] double value(Time at) const;
    /// From when on it is at most `tolerance` > 0 from its target.
    [[nodiscard]] Time settled_at(double tolerance) const;

  private:
    double from_;
    double target_;
    Time start_{0};
    Time constant_;
};

} // namespace slotwitness::chassis
