#include "view.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {
namespace {

using state::Attribute;

bool has(const std::vector<state::Kind>& kinds, state::Kind kind) {
    return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
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

bool is_unknown(const state::Value& value) {
    struct {
        bool operator()(const state::Unknown&) const { return true; }
        bool operator()(state::AdminState word) const { return word == state::AdminState::unknown; }
        bool operator()(state::OperState word) const { return word == state::OperState::unknown; }
        bool operator()(state::UsageState word) const { return word == state::UsageState::unknown; }
        bool operator()(state::StandbyState word) const {
            return word == state::StandbyState::unknown;
        }
        bool operator()(state::AlarmState word) const { return word == state::AlarmState::unknown; }
        bool operator()(state::Severity) const { return false; }
        bool operator()(state::SensorStatus) const { return false; }
        bool operator()(const std::string&) const { return false; }
        bool operator()(const state::Names&) const { return false; }
        bool operator()(const units::Quantity&) const { return false; }
    } unknown;
    return std::visit(unknown, value);
}

Heard heard_from(const Answered& answer) {
    return {answer.asking,        answer.capture, answer.ending.whole() && answer.reading->whole,
            answer.ending.remark, answer.reading, answer.ending.proven};
}

View::View(std::vector<Heard> heard, std::vector<Silent> silent)
    : heard_(std::move(heard)), silent_(std::move(silent)) {
    for (std::size_t answer = 0; answer < heard_.size(); ++answer) {
        const state::Reading& reading = *heard_[answer].reading;
        for (const state::Row& row : reading.rows)
            sightings_[{row.kind, row.name}].push_back({answer, &row});
        for (const state::UnreadLine& line : reading.unread)
            unread_.add(answer, line);
    }
}

bool View::all_whole() const {
    return silent_.empty() && std::all_of(heard_.begin(), heard_.end(),
                                          [](const Heard& heard) { return heard.whole; });
}

std::set<std::string> View::listed(state::Kind kind) const {
    std::set<std::string> found;
    for (auto at = sightings_.lower_bound({kind, ""});
         at != sightings_.end() && at->first.kind == kind; ++at)
        found.insert(at->first.name);
    return found;
}

std::optional<Because> View::may_have_more(state::Kind kind) const {
    bool listed = false;
    for (const Heard& heard : heard_) {
        if (!has(heard.reading->lists, kind))
            continue;
        listed = true;
        if (!heard.whole)
            return not_whole(heard);
        if (!heard.reading->wholly_read())
            return unread(heard);
    }
    if (listed)
        return std::nullopt;
    if (auto why = not_told())
        return why;
    return Because{Reason::fact_missing,
                   "The device's answers do not list every " + spoken(kind) +
                       ", so there may be more.",
                   {}};
}

bool View::is_asked_to_list(state::Kind kind) const {
    return std::any_of(heard_.begin(), heard_.end(),
                       [&](const Heard& heard) { return has(heard.reading->lists, kind); });
}

std::vector<Cite> View::lists_of(state::Kind kind) const {
    std::vector<Cite> cites;
    for (const Heard& heard : heard_)
        if (has(heard.reading->lists, kind) && heard.whole && heard.reading->wholly_read())
            cites.push_back({heard.asking, heard.capture, {}, {}});
    return cites;
}

std::optional<Because> View::doubt(const Component& component) const {
    if (auto why = named_by_unread(component))
        return why;
    const auto rows = sightings_.find(component);
    if (rows == sightings_.end())
        return std::nullopt;
    return contradiction(component, rows->second);
}

Judgement View::presence(const Component& component, Trust trust) const {
    if (const Sighting* row = trusted_row(component, trust))
        return {Truth::yes,
                {Reason::true_now,
                 "The device lists " + spoken(component) + ".",
                 {cite(*row, row->row->at)}}};
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        return {Truth::unknown, not_whole(heard_[rows->second.front().answer])};
    if (auto why = may_have_more(component.kind))
        return {Truth::unknown, std::move(*why)};
    return {Truth::no,
            {Reason::not_listed, "The device does not list " + spoken(component) + ".",
             lists_of(component.kind)}};
}

const View::Sighting* View::trusted_row(const Component& component, Trust trust) const {
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second)
            if (trust == Trust::as_read || heard_[row.answer].whole)
                return &row;
    return nullptr;
}

const state::Value* View::as_read(const Component& component, Attribute attribute) const {
    const state::Value* value = nullptr;
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second) {
            const auto fact = row.row->facts.find(attribute);
            if (fact == row.row->facts.end())
                continue;
            if (is_unknown(fact->second.value) ||
                (value != nullptr && *value != fact->second.value))
                return nullptr;
            value = &fact->second.value;
        }
    return value;
}

std::set<Attribute> View::told_of(const Component& component) const {
    std::set<Attribute> told;
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second)
            for (const auto& [attribute, fact] : row.row->facts)
                told.insert(told.end(), attribute);
    return told;
}

Told View::fact(const Component& component, Attribute attribute, Trust trust) const {
    Told told;
    const state::Value* value = nullptr;
    const Heard* cut = nullptr;
    const auto rows = sightings_.find(component);
    if (rows != sightings_.end())
        for (const Sighting& row : rows->second) {
            const auto fact = row.row->facts.find(attribute);
            if (fact == row.row->facts.end())
                continue;
            const std::vector<Cite> line{cite(row, fact->second.at)};
            add_cites(told.because.cites, line);
            if (is_unknown(fact->second.value))
                return {std::nullopt,
                        false,
                        false,
                        {Reason::unknown_word,
                         "The device reports no known " + std::string(state::to_word(attribute)) +
                             " for " + spoken(component) + ".",
                         line}};
            if (value != nullptr && *value != fact->second.value)
                return {std::nullopt,
                        false,
                        false,
                        {Reason::contradiction,
                         "The device reports two values of " +
                             std::string(state::to_word(attribute)) + " for " + spoken(component) +
                             ".",
                         told.because.cites}};
            if (trust == Trust::whole_answers && !heard_[row.answer].whole)
                cut = &heard_[row.answer];
            else
                told.value = fact->second.value;
            value = &fact->second.value;
        }
    if (told.value)
        return told;
    if (cut != nullptr) {
        Because because = not_whole(*cut);
        told.because.reason = because.reason;
        told.because.text = std::move(because.text);
        return told;
    }
    told.missing = true;
    if (auto why = not_told()) {
        told.may_be_elsewhere = trust == Trust::whole_answers || !silent_.empty();
        told.because = std::move(*why);
        return told;
    }
    if (auto why = perhaps_unread(component)) {
        told.may_be_elsewhere = true;
        told.because = std::move(*why);
        return told;
    }
    told.because = {Reason::fact_missing,
                    "The device's answers carry no " + std::string(state::to_word(attribute)) +
                        " for " + spoken(component) + ".",
                    {}};
    if (rows != sightings_.end())
        told.because.cites.push_back(cite(rows->second.front(), rows->second.front().row->at));
    return told;
}

std::optional<Because> View::unread_beside(const Component& component) const {
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second)
            if (!heard_[row.answer].reading->wholly_read())
                return unread(heard_[row.answer]);
    return std::nullopt;
}

Cite View::cite(const Sighting& sighting, state::Position at) const {
    const Heard& heard = heard_[sighting.answer];
    return {heard.asking, heard.capture, at, line_at(*sighting.row, at)};
}

Because View::unread(const Heard& heard) const {
    const auto& lines = heard.reading->unread;
    Because because{Reason::not_read,
                    "The device's answer to \"" + heard.asking +
                        "\" has a line that nobody reads: line " +
                        std::to_string(lines.front().line) + ".",
                    {}};
    for (const state::UnreadLine& line : lines)
        if (because.cites.size() < most_cites)
            because.cites.push_back(
                {heard.asking, heard.capture, {line.line, line.column}, line.text});
    return because;
}

Because View::not_whole(const Heard& heard) const {
    if (!heard.proven)
        return {Reason::not_proven,
                "The device's answer to \"" + heard.asking +
                    "\" confirms nothing: " + heard.remark + ".",
                {{heard.asking, heard.capture, {}, {}}}};
    return {Reason::not_whole,
            "The device's answer to \"" + heard.asking + "\" is not whole" +
                (heard.remark.empty() ? "" : " (" + heard.remark + ")") + ".",
            {{heard.asking, heard.capture, {}, {}}}};
}

/// Why a fact that no row carries may yet be one that the device would have told.
std::optional<Because> View::not_told() const {
    if (!silent_.empty()) {
        const Silent& silent = silent_.front();
        return Because{
            Reason::no_answer,
            "The device gave no answer to \"" + silent.asking + "\": " +
                (silent.remark.empty() ? std::string(to_word(silent.why)) : silent.remark) + ".",
            {}};
    }
    for (const Heard& heard : heard_)
        if (!heard.whole)
            return not_whole(heard);
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
        if (!reading.wholly_read() && has(reading.tells, component.kind) && !has_row(answer))
            return unread(heard_[answer]);
    }
    return std::nullopt;
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
        const bool lists_all = has(heard.reading->lists, component.kind) && heard.whole &&
                               heard.reading->wholly_read();
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

} // namespace slotwitness::witness
