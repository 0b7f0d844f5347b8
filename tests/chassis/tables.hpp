#pragma once

#include "snapshot.hpp"

#include <string>
#include <vector>

/// The layouts of the family, as `fixtures/quillon/profile.toml` describes them.
namespace slotwitness::chassis {

[[nodiscard]] std::string chassis_text(const ChassisRow& row);
[[nodiscard]] std::string planes_text(const std::vector<PlaneRow>& rows);
[[nodiscard]] std::string modules_text(const std::vector<ModuleRow>& rows);
[[nodiscard]] std::string module_text(const ModuleRow& row);
[[nodiscard]] std::string controllers_text(const std::vector<ControllerRow>& rows);
[[nodiscard]] std::string trays_text(const std::vector<TrayRow>& rows);
[[nodiscard]] std::string supplies_text(const std::vector<SupplyRow>& rows);
[[nodiscard]] std::string sensors_text(const std::vector<SensorRow>& rows);
[[nodiscard]] std::string ports_text(const std::vector<PortRow>& rows);
[[nodiscard]] std::string neighbours_text(const std::vector<NeighbourRow>& rows);
[[nodiscard]] std::string alarms_text(const std::vector<AlarmRow>& rows);

} // namespace slotwitness::chassis
