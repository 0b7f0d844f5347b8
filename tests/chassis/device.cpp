#include "device.hpp"

#include "state_json.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace slotwitness::chassis {
namespace {

using nlohmann::json;

std::string line_of(const json& reply) {
    return reply.dump(-1, ' ', false, json::error_handler_t::replace);
}

struct Obey {
    Model& model;

    Model::Done operator()(const MoveDrive& order) const {
        return order.engage ? model.engage(order.part, order.name)
                            : model.release(order.part, order.name);
    }
    Model::Done operator()(const Lead& order) const { return model.lead(order.controller); }
    Model::Done operator()(const Pull& order) const { return model.pull(order.part, order.name); }
    Model::Done operator()(const Seat& order) const {
        return model.seat(order.part, order.name, order.serial, order.build);
    }
    Model::Done operator()(const Cross& order) const {
        return model.cross(order.port, order.other);
    }
    Model::Done operator()(const Flap& order) const { return model.flap(order.port); }
    Model::Done operator()(const Wear& order) const {
        switch (order.what) {
        case Wear::What::sensor:
            return model.break_sensor(order.name, order.broken);
        case Wear::What::feed:
            return model.break_feed(order.name, order.broken);
        case Wear::What::neighbour:
            return model.break_neighbour(order.name, order.broken);
        }
        return {};
    }
    Model::Done operator()(const Stick& order) const {
        return model.stick_sensor(order.sensor, order.value);
    }
    Model::Done operator()(const OfferLoad& order) const {
        model.offer_load(order.gbps);
        return {};
    }
    Model::Done operator()(const SetRoom& order) const {
        model.set_room(order.celsius);
        return {};
    }
};

bool is_for_answers(Fault::Kind kind) {
    return kind != Fault::Kind::refuse_auth && kind != Fault::Kind::change_host_key;
}

} // namespace

Device::Device(Fitting fitting, Time refresh)
    : name_(fitting.name), refresh_(refresh), model_(std::move(fitting)),
      renewed_(model_.snapshot()) {}

void Device::advance(Time now) {
    // Nothing but time has acted since the last call, so only the last renewal can still be seen.
    const Time renewal = now / refresh_ * refresh_;
    if (renewal > renewed_.at) {
        model_.advance(renewal);
        renewed_ = model_.snapshot();
    }
    model_.advance(now);
}

Delivery Device::ask(std::string_view command, Time now) {
    advance(now);
    const auto faults = take_for_answer();
    return deliver(
        answer(command, contradicted(renewed_, faults), contradicted(model_.snapshot(), faults)),
        faults);
}

Device::Obeyed Device::obey(std::string_view line, Time now) {
    advance(now);
    auto order = parse_order(line);
    if (!order) {
        const auto& misread = order.error();
        return {line_of({{"done", false},
                         {"error", "line not understood"},
                         {"column", misread.column},
                         {"found", misread.found},
                         {"expected", misread.expected}})};
    }
    const json done{{"done", true}};
    return std::visit(
        [&]<class Kind>(const Kind& given) -> Obeyed {
            if constexpr (std::is_same_v<Kind, TellState>) {
                return {state_json(model_.snapshot(), faults_)};
            } else if constexpr (std::is_same_v<Kind, Fault>) {
                faults_.push_back(given);
                return {line_of(done)};
            } else if constexpr (std::is_same_v<Kind, ClearFaults>) {
                faults_.clear();
                return {line_of(done)};
            } else if constexpr (std::is_same_v<Kind, Remark>) {
                return {line_of(done), false, "* " + name_ + " has nothing to tell"};
            } else if constexpr (std::is_same_v<Kind, DropSessions>) {
                return {line_of(done), true};
            } else {
                const auto result = Obey{model_}(given);
                return {result ? line_of(done)
                               : line_of({{"done", false}, {"error", result.error()}})};
            }
        },
        *order);
}

bool Device::take(Fault::Kind kind) {
    const auto found = std::find_if(faults_.begin(), faults_.end(),
                                    [&](const Fault& fault) { return fault.kind == kind; });
    if (found == faults_.end())
        return false;
    if (found->once)
        faults_.erase(found);
    return true;
}

bool Device::refuses_auth() {
    return take(Fault::Kind::refuse_auth);
}
bool Device::changes_host_key() {
    return take(Fault::Kind::change_host_key);
}

std::vector<Fault> Device::take_for_answer() {
    std::vector<Fault> taken;
    for (const auto& fault : faults_)
        if (is_for_answers(fault.kind))
            taken.push_back(fault);
    std::erase_if(faults_,
                  [](const Fault& fault) { return fault.once && is_for_answers(fault.kind); });
    return taken;
}

} // namespace slotwitness::chassis
