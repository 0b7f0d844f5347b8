#pragma once

#include "world.hpp"

/// A small procedure on a small chassis: fabric planes 1 to 3, fan trays A and B. Plane 3 is shut
/// down, tray A is pulled, seated again, plane 3 is brought up.
namespace slotwitness::witness::test {

/// What the device reports of itself: planes as in `planes`, each tray `u` working, `d` disabled,
/// `?` oper unknown, or not listed.
struct Device {
    char plane_1 = 'u', plane_2 = 'u', plane_3 = 'u';
    char tray_a = 'u', tray_b = 'u';
    std::string serial_a;             ///< of tray A; empty: it tells none
    std::vector<std::string> serials; ///< told with the trays: a row of the chassis each
};
inline constexpr char not_listed = ' ';

ProcedureOpened small_job();

/// A world in which that procedure is under way. Times are in milliseconds; each look is a round
/// that asks both queries, answered 100 ms later.
class Job : public World {
  public:
    Device device;

    explicit Job(const ProcedureOpened& opening = small_job());
    /// A round asked at t: planes answered at t + 50, trays at t + 100.
    void look(std::int64_t t);
    void release(std::int64_t t, const std::string& step);
    void confirm(std::int64_t t, const std::string& step);
    template <class Event>
    void act(std::int64_t t, Event event) {
        tell({at(t), std::move(event)});
    }
    /// Plane 3 is shut down, and tray A may be pulled: 3.1 s.
    void reach_pull();
    /// Tray A is out, and that was seen: 5.1 s.
    void reach_seat();

    [[nodiscard]] StepAct upon(const std::string& step) const;
    [[nodiscard]] ProcedureFinding told() const { return all<ProcedureFinding>().back(); }
    [[nodiscard]] StepFinding step(const std::string& name) const;
    [[nodiscard]] RuleFinding rule(const std::string& name) const;
    [[nodiscard]] CoolingFinding cooling() const { return all<CoolingFinding>().back(); }
    /// Why the last act was not done; empty if it was.
    [[nodiscard]] std::string refused() const;
};

} // namespace slotwitness::witness::test
