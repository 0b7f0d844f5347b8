#pragma once

#include "parts.hpp"
#include "snapshot.hpp"

#include <tl/expected.hpp>

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::chassis {

/// What a chassis is made with.
struct Fitting {
    std::string name = "quillon";
    std::string serial = "QL40000017";
    Time boot{20'000};    ///< a module proves itself this long before it runs
    Time easing{1'000};   ///< a released module or plane lets its traffic go this long
    Time training{400};   ///< between one path of a plane coming back and the next
    Time cooling{60'000}; ///< time constant of temperatures
};

/// One chassis as a state machine: orders change it at `now()`, `advance` lets time pass. The same
/// orders at the same instants give the same snapshots, however the time between is sliced.
class Model {
  public:
    explicit Model(Fitting fitting);

    /// Why an order cannot be done: what is the matter and what to do instead.
    using Done = tl::expected<void, std::string>;

    [[nodiscard]] Time now() const { return now_; }
    /// Takes a time ≥ now().
    void advance(Time to);

    /// The engineer's orders: a plane, module or port.
    [[nodiscard]] Done release(Part part, std::string_view name);
    [[nodiscard]] Done engage(Part part, std::string_view name);
    /// Makes a controller the leading one.
    [[nodiscard]] Done lead(std::string_view name);
    /// The technician's: a tray, module or supply. A fabric module stands behind its tray.
    [[nodiscard]] Done pull(Part part, std::string_view name);
    /// Without a serial or build the part that was pulled comes back.
    [[nodiscard]] Done seat(Part part, std::string_view name, std::optional<std::string> serial,
                            std::optional<std::string> build);
    /// Each of the two ports gets the other one's fibre.
    [[nodiscard]] Done cross(std::string_view name, std::string_view other);
    /// The world's: a port loses and regains its light; a sensor, the feed of a supply or what is
    /// at the far end of a port breaks or is mended; the load that the network offers; the room's
    /// air.
    [[nodiscard]] Done flap(std::string_view name);
    [[nodiscard]] Done break_sensor(std::string_view name, bool broken);
    [[nodiscard]] Done stick_sensor(std::string_view name, double value);
    [[nodiscard]] Done break_feed(std::string_view name, bool broken);
    [[nodiscard]] Done break_neighbour(std::string_view port, bool broken);
    void offer_load(std::int64_t gbps);
    void set_room(double celsius);

    [[nodiscard]] Snapshot snapshot() const;

  private:
    /// When the path between the two over the plane is trained, if nothing changes.
    [[nodiscard]] std::optional<Time> path_up_at(const Module& fabric, const Module& line,
                                                 const Plane& plane) const;
    [[nodiscard]] int paths_of(const Plane& plane) const;
    [[nodiscard]] const Tray& tray_before(const Module& module) const;
    [[nodiscard]] int missing_trays() const;
    [[nodiscard]] bool there(const Sensor& sensor) const;
    [[nodiscard]] std::optional<Time> next_change() const;
    [[nodiscard]] double target_of(const Sensor& sensor) const;
    [[nodiscard]] std::map<std::string, AlarmRow> alarms_due() const;
    [[nodiscard]] Done pull_module(std::string_view name);
    [[nodiscard]] Done seat_module(std::string_view name, std::optional<std::string> serial,
                                   std::optional<std::string> build);
    void change_what_is_due();
    void change(Module& module);
    void boot(Module& module);
    void settle();
    void settle_alarms();
    void photograph_modules(Snapshot& into) const;
    void photograph_rest(Snapshot& into) const;

    Fitting fitting_;
    Time now_{0};
    std::vector<Plane> planes_;
    std::vector<Module> modules_;
    std::vector<Controller> controllers_;
    std::vector<Tray> trays_;
    std::vector<Supply> supplies_;
    std::vector<Sensor> sensors_;
    std::vector<Port> ports_;
    std::map<std::string, AlarmRow> alarms_; ///< by what caused them
    int alarms_ever_ = 0;
    std::int64_t load_gbps_ = 7'200;
    double room_celsius_ = 24.0;
};

} // namespace slotwitness::chassis
