#include "view.hpp"

#include <algorithm>
#include <map>
#include <utility>

// What makes a component unknown whatever its rows say.
namespace slotwitness::witness {
namespace {

using state::Attribute;

bool may_tell(const state::Reading& reading, state::Kind kind) {
    return std::find(reading.tells.begin(), reading.tells.end(), kind) != reading.tells.end();
}

} // namespace

bool moves_by_itself(Attribute attribute) {
    switch (attribute) {
    case Attribute::load:
    case Attribute::errors:
    case Attribute::flaps:
    case Attribute::reading:
    case Attribute::speed:
    case Attribute::uptime:
        return true;
    case Attribute::admin:
    case Attribute::oper:
    case Attribute::usage:
    case Attribute::standby:
    case Attribute::alarm:
    case Attribute::severity:
    case Attribute::sensor_status:
    case Attribute::serial:
    case Attribute::part:
    case Attribute::hardware_rev:
    case Attribute::software_rev:
    case Attribute::label:
    case Attribute::text:
    case Attribute::about:
    case Attribute::system_name:
    case Attribute::port_id:
    case Attribute::serves:
    case Attribute::covers:
    case Attribute::links_usable:
    case Attribute::links_total:
    case Attribute::capacity:
    case Attribute::limit:
        return false;
    }
    return false;
}

std::optional<Because> View::doubt(const Component& component) const {
    if (auto why = named_by_unread(component))
        return why;
    const auto rows = sightings_.find(component);
    if (rows == sightings_.end())
        return std::nullopt;
    return contradiction(component, rows->second);
}

std::optional<Because> View::contradiction(const Component& component,
                                           const std::vector<Sighting>& rows) const {
    // The first row that tells each attribute: as long as none contradicts it, it speaks for all.
    // Of what moves by itself there is one an answer.
    std::map<std::pair<Attribute, std::size_t>, std::size_t> first;
    for (std::size_t later = 0; rows.size() > 1 && later < rows.size(); ++later) {
        std::optional<std::pair<std::size_t, Attribute>>
            odd; // the earliest row that it contradicts
        for (const auto& [attribute, fact] : rows[later].row->facts) {
            if (is_unknown(fact.value))
                continue;
            const std::size_t among = moves_by_itself(attribute) ? rows[later].answer : 0;
            const std::size_t former = first.try_emplace({attribute, among}, later).first->second;
            if (rows[former].row->facts.at(attribute).value != fact.value &&
                (!odd || former < odd->first))
                odd = {former, attribute};
        }
        if (!odd)
            continue;
        const auto& [former, attribute] = *odd;
        const state::Fact& other = rows[former].row->facts.at(attribute);
        const state::Fact& fact = rows[later].row->facts.at(attribute);
        return Because{Reason::contradiction,
                       "The device reports two things of " + spoken(component) + ": " +
                           std::string(state::to_word(attribute)) + " " +
                           state::to_text(other.value) + " and " + state::to_text(fact.value) + ".",
                       {cite(rows[former], other.at), cite(rows[later], fact.at)}};
    }
    for (std::size_t answer = 0; answer < heard_.size(); ++answer) {
        const Heard& heard = heard_[answer];
        const bool lists_all =
            heard.lists(component.kind) && heard.whole && heard.reading->wholly_read();
        if (lists_all && std::none_of(rows.begin(), rows.end(),
                                      [&](const Sighting& row) { return row.answer == answer; }))
            return Because{
                Reason::contradiction,
                "The device lists " + spoken(component) + " in one answer and not in \"" +
                    heard.asking + "\", which lists all.",
                {cite(rows.front(), rows.front().row->at), {heard.asking, heard.capture, {}, {}}}};
    }
    return std::nullopt;
}

std::optional<Because> View::named_by_unread(const Component& component) const {
    const Mentions::Line* found = unread_.first(component.name);
    if (found == nullptr)
        return std::nullopt;
    const Heard& heard = heard_[found->answer];
    const state::UnreadLine& line = *found->it;
    return Because{Reason::not_read,
                   "The device's answer to \"" + heard.asking + "\" names " + spoken(component) +
                       " in a line that nobody reads: line " + std::to_string(line.line) + ".",
                   {{heard.asking, heard.capture, {line.line, line.column}, line.text}}};
}

std::optional<Because> View::unread_beside(const Component& component) const {
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second)
            if (!heard_[row.answer].reading->wholly_read())
                return unread(heard_[row.answer]);
    return std::nullopt;
}

/// Why what no row tells of the component may stand in a row of it that nobody could read.
std::optional<Because> View::perhaps_unread(const Component& component) const {
    const auto rows = sightings_.find(component);
    const auto has_row = [&](std::size_t answer) {
        return rows != sightings_.end() &&
               std::any_of(rows->second.begin(), rows->second.end(),
                           [&](const Sighting& row) { return row.answer == answer; });
    };
    for (std::size_t answer = 0; answer < heard_.size(); ++answer) {
        const state::Reading& reading = *heard_[answer].reading;
        if (!reading.wholly_read() && may_tell(reading, component.kind) && !has_row(answer))
            return unread(heard_[answer]);
    }
    return std::nullopt;
}

} // namespace slotwitness::witness
