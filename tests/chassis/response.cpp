#include "response.hpp"

#include <cmath>

namespace slotwitness::chassis {

Response::Response(double value, Time constant)
    : from_(value), target_(value), constant_(constant) {}

void Response::aim(double target, Time at) {
    if (target == target_)
        return;
    from_ = value(at);
    target_ = target;
    start_ = at;
}

void Response::set(double value, Time at) {
    from_ = value;
    target_ = value;
    start_ = at;
}

double Response::value(Time at) const {
    const double elapsed = static_cast<double>((at - start_).count());
    return target_ +
           (from_ - target_) * std::exp(-elapsed / static_cast<double>(constant_.count()));
}

Time Response::settled_at(double tolerance) const {
    const double distance = std::abs(from_ - target_);
    if (distance <= tolerance)
        return start_;
    const double constant = static_cast<double>(constant_.count());
    return start_ + Time(std::llround(std::ceil(constant * std::log(distance / tolerance))));
}

} // namespace slotwitness::chassis
