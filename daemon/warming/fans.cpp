#include "fans.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace slotwitness::warming {

namespace {

using state::Attribute;
using state::Kind;

constexpr double another_speed = 0.1;

bool sets_cooling(Kind kind) {
    return kind == Kind::fan_tray || kind == Kind::module;
}

std::string state_of(const state::Row& row) {
    std::string text;
    for (const Attribute attribute : {Attribute::admin, Attribute::oper, Attribute::serial})
        if (const auto fact = row.facts.find(attribute); fact != row.facts.end())
            text += state::to_text(fact->second.value) + ";";
    return text;
}

/// 0 where none is told.
double speed_of(const state::Row& row) {
    const auto fact = row.facts.find(Attribute::speed);
    const auto* speed =
        fact == row.facts.end() ? nullptr : std::get_if<units::Quantity>(&fact->second.value);
    return speed ? static_cast<double>(speed->value.coefficient()) *
                       std::pow(10.0, speed->value.exponent())
                 : 0;
}

} // namespace

bool Fans::changed(const witness::Answered& answer) {
    std::map<std::pair<Kind, std::string>, Part> now;
    for (const state::Row& row : answer.reading->rows) {
        if (!sets_cooling(row.kind))
            continue;
        Part& part = now[{row.kind, row.name}];
        part.state += state_of(row);
        part.rpm = std::max(part.rpm, speed_of(row));
    }
    const auto& lists = answer.reading->lists;
    const bool tells_all = answer.reading->whole && answer.reading->wholly_read();
    const bool lists_some = std::any_of(lists.begin(), lists.end(), sets_cooling);
    if (now.empty() && !lists_some)
        return false;
    const auto before = known_.find(answer.asking);
    if (before == known_.end()) {
        known_.emplace(answer.asking, std::move(now));
        return false;
    }
    bool changed = tells_all && now.size() != before->second.size();
    for (const auto& [name, part] : now) {
        const auto was = before->second.find(name);
        changed = changed || was == before->second.end() || was->second.state != part.state ||
                  std::abs(part.rpm - was->second.rpm) > another_speed * was->second.rpm;
    }
    if (changed && tells_all)
        before->second = std::move(now);
    else if (changed)
        for (auto& [name, part] : now)
            before->second[name] = std::move(part);
    return changed;
}

} // namespace slotwitness::warming
