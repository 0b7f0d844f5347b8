#include "view.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {
namespace {
using state::Attribute;
} // namespace

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

bool Heard::lists(state::Kind kind) const {
    return std::find(reading->lists.begin(), reading->lists.end(), kind) != reading->lists.end();
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
        if (!heard.lists(kind))
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
                       [&](const Heard& heard) { return heard.lists(kind); });
}

std::vector<Cite> View::lists_of(state::Kind kind) const {
    std::vector<Cite> cites;
    for (const Heard& heard : heard_)
        if (heard.lists(kind) && heard.whole && heard.reading->wholly_read())
            cites.push_back({heard.asking, heard.capture, {}, {}});
    return cites;
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

const state::Value* View::value(const Component& component, Attribute attribute,
                                Trust trust) const {
    const state::Value* read = nullptr;
    const state::Value* trusted = nullptr;
    if (const auto rows = sightings_.find(component); rows != sightings_.end())
        for (const Sighting& row : rows->second) {
            const auto fact = row.row->facts.find(attribute);
            if (fact == row.row->facts.end())
                continue;
            if (is_unknown(fact->second.value) || (read != nullptr && *read != fact->second.value))
                return nullptr;
            read = &fact->second.value;
            if (trust == Trust::as_read || heard_[row.answer].whole)
                trusted = read;
        }
    return trusted;
}

bool View::tells(const Component& component, Attribute attribute) const {
    const auto rows = sightings_.find(component);
    return rows != sightings_.end() &&
           std::any_of(rows->second.begin(), rows->second.end(),
                       [&](const Sighting& row) { return row.row->facts.contains(attribute); });
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

} // namespace slotwitness::witness
