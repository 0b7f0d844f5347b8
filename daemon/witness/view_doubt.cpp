#include "view.hpp"

#include <algorithm>
#include <cctype>

// What makes a component unknown whatever its rows say.
namespace slotwitness::witness {
namespace {

using state::Attribute;

char lower(char byte) {
    return static_cast<char>(std::tolower(static_cast<unsigned char>(byte)));
}
bool alphanumeric(char byte) {
    return std::isalnum(static_cast<unsigned char>(byte)) != 0;
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

bool names(std::string_view line, std::string_view name) {
    if (name.empty())
        return false;
    const auto same = [](char left, char right) { return lower(left) == lower(right); };
    for (auto from = line.begin(); from != line.end(); ++from) {
        from = std::search(from, line.end(), name.begin(), name.end(), same);
        if (from == line.end())
            return false;
        const auto after = from + static_cast<std::ptrdiff_t>(name.size());
        if ((from == line.begin() || !alphanumeric(*(from - 1))) &&
            (after == line.end() || !alphanumeric(*after)))
            return true;
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
    for (auto later = rows.begin(); later != rows.end(); ++later)
        for (auto former = rows.begin(); former != later; ++former)
            for (const auto& [attribute, fact] : later->row->facts) {
                const auto other = former->row->facts.find(attribute);
                if (other == former->row->facts.end() || other->second.value == fact.value ||
                    is_unknown(other->second.value) || is_unknown(fact.value))
                    continue;
                if (moves_by_itself(attribute) && former->answer != later->answer)
                    continue;
                return Because{Reason::contradiction,
                               "The device reports two things of " + spoken(component) + ": " +
                                   std::string(state::to_word(attribute)) + " " +
                                   state::to_text(other->second.value) + " and " +
                                   state::to_text(fact.value) + ".",
                               {cite(*former, other->second.at), cite(*later, fact.at)}};
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
    for (const Heard& heard : heard_)
        for (const state::UnreadLine& line : heard.reading->unread)
            if (names(line.text, component.name))
                return Because{
                    Reason::not_read,
                    "The device's answer to \"" + heard.asking + "\" names " + spoken(component) +
                        " in a line that nobody reads: line " + std::to_string(line.line) + ".",
                    {{heard.asking, heard.capture, {line.line, line.column}, line.text}}};
    return std::nullopt;
}

std::optional<Because> View::unread_beside(const Component& component) const {
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second)
            if (!heard_[row.answer].reading->wholly_read())
                return unread(heard_[row.answer]);
    return std::nullopt;
}

} // namespace slotwitness::witness
