#pragma once

#include <slotwitness/chassis/model.hpp>

#include <functional>
#include <vector>

namespace slotwitness::chassis::checks {

/// Something that happens to a chassis, `wait` after what happened before. Any numbers will do.
struct Act {
    unsigned verb = 0;
    unsigned which = 0;
    Time wait{0};
};

/// Does the act now; one that the chassis refuses changes nothing.
void apply(Model& model, const Act& act);

/// Lives through the acts; `advance` moves the model to each one's time.
void live(Model& model, const std::vector<Act>& acts,
          const std::function<void(Model&, Time)>& advance);

/// For rapidcheck: up to `most` acts, seconds apart.
[[nodiscard]] std::vector<Act> random_acts(int most);

} // namespace slotwitness::chassis::checks
