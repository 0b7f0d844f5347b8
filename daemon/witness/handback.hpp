#pragma once

#include "baseline.hpp"
#include "handback_finding.hpp"
#include "inventory.hpp"
#include "say.hpp"

#include <span>
#include <vector>

namespace slotwitness::witness {

/// The way on which the work ended: on the way back the old part belongs into the work slot.
enum class Way { forward, back };

/// Each part that the baseline or the look lists, by kind and name, in exactly one class; and of
/// each kind whose list cannot be trusted in either of them one item without a name. Only whole
/// answers say anything; what is unknown in either of the two is never as it was.
[[nodiscard]] std::vector<HandbackItem>
compare_with_baseline(const WorkPlan& plan, Way way, const Baseline& baseline, const View& now);

/// A waiver is for a component by its name, and for an alarm only as long as it says the same. It
/// changes nothing of what is as it was or was meant to change.
void waive(std::span<HandbackItem> items, std::span<const Waiver> waivers);

/// Nothing in it stands in the way of handing the chassis back.
[[nodiscard]] bool is_clean(std::span<const HandbackItem> items);

/// What an alarm concerns, and its words; empty of another component.
[[nodiscard]] std::string words_of_alarm(const View& view, const Component& component);

/// The alarm concerns this component, by the device's word alone or with its kind: `FAB3`, `module
/// FAB3`, `fan-tray TRAY2`, `fan tray TRAY2`.
[[nodiscard]] bool concerns(std::string_view about, const Component& component);

} // namespace slotwitness::witness
