#include "random_life.hpp"

#include <rapidcheck.h>

#include <array>
#include <string>

namespace slotwitness::chassis::checks {
namespace {

std::string numbered(const char* stem, unsigned number) {
    return stem + std::to_string(number);
}

/// Half of the time a fabric module, so that trays matter.
std::string module_name(unsigned which) {
    return which % 2 == 0 ? numbered("FAB", which / 2 % 6 + 1)
                          : numbered("LINE", which / 2 % 8 + 1);
}

} // namespace

void apply(Model& model, const Act& act) {
    const unsigned which = act.which;
    const std::string plane = std::to_string(which % 6 + 1);
    const std::string tray = numbered("TRAY", which % 3 + 1);
    const std::string supply = numbered("PSU", which % 4 + 1);
    const std::string port = numbered("eth", which % 32 + 1);
    const std::array<std::function<Model::Done()>, 19> acts{
        [&] { return model.release(Part::plane, plane); },
        [&] { return model.engage(Part::plane, plane); },
        [&] { return model.release(Part::module, module_name(which)); },
        [&] { return model.engage(Part::module, module_name(which)); },
        [&] { return model.pull(Part::tray, tray); },
        [&] { return model.seat(Part::tray, tray, std::nullopt, std::nullopt); },
        [&] { return model.pull(Part::module, module_name(which)); },
        [&] {
            return model.seat(Part::module, module_name(which),
                              "QL401000" + std::to_string(which % 90), "R9");
        },
        [&] { return model.pull(Part::supply, supply); },
        [&] { return model.seat(Part::supply, supply, std::nullopt, std::nullopt); },
        [&] { return model.release(Part::port, port); },
        [&] { return model.engage(Part::port, port); },
        [&] { return model.lead(numbered("CTL", which % 2)); },
        [&] { return model.flap(port); },
        [&] { return model.cross(port, numbered("eth", which / 32 % 32 + 1)); },
        [&] { return model.break_neighbour(port, which % 2 == 0); },
        [&] { return model.break_feed(supply, which % 2 == 0); },
        [&] { return model.break_sensor(numbered("FAB", which % 6 + 1) + "-core", which % 4 < 2); },
        [&] {
            model.set_room(static_cast<double>(which % 60) - 15);
            model.offer_load(which % 20'000);
            return Model::Done();
        }};
    static_cast<void>(acts[act.verb % acts.size()]());
}

void live(Model& model, const std::vector<Act>& acts,
          const std::function<void(Model&, Time)>& advance) {
    for (const auto& act : acts) {
        advance(model, model.now() + act.wait);
        apply(model, act);
    }
}

std::vector<Act> random_acts(int most) {
    const int count = *rc::gen::inRange(0, most + 1);
    std::vector<Act> acts;
    for (int index = 0; index < count; ++index)
        acts.push_back({*rc::gen::inRange(0u, 19u), *rc::gen::inRange(0u, 1'000u),
                        Time(*rc::gen::inRange(0, 15'000))});
    return acts;
}

} // namespace slotwitness::chassis::checks
