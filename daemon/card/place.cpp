#include "place.hpp"

#include <algorithm>

namespace slotwitness::card {

namespace {

using state::Attribute;
using state::Kind;

bool is_of_a_name(char byte) {
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
           (byte >= '0' && byte <= '9') || byte == '_';
}

/// `name` stands in `text` as a word of its own: FAB3 is not in FAB31.
bool names(std::string_view text, std::string_view name) {
    for (std::size_t at = text.find(name); at != std::string_view::npos;
         at = text.find(name, at + 1)) {
        const std::size_t after = at + name.size();
        if ((at == 0 || !is_of_a_name(text[at - 1])) &&
            (after == text.size() || !is_of_a_name(text[after])))
            return true;
    }
    return false;
}

std::optional<std::string> text_of(const state::Row& row, Attribute attribute) {
    const auto fact = row.facts.find(attribute);
    if (fact == row.facts.end())
        return std::nullopt;
    const auto* text = std::get_if<std::string>(&fact->second.value);
    return text == nullptr || text->empty() ? std::nullopt : std::optional(*text);
}

/// False: it was known otherwise.
bool learn(std::optional<std::string>& known, std::optional<std::string> told) {
    if (!told)
        return true;
    if (known)
        return *known == *told;
    known = std::move(told);
    return true;
}

void note(Seen& seen, const Heard& heard) {
    seen.answered = std::max(seen.answered.value_or(heard.answered), heard.answered);
}

void take(Seen& seen, const Heard& heard, const state::Row& row) {
    note(seen, heard);
    seen.listing = Seen::Listing::listed;
    seen.rows.push_back({heard.asking, heard.capture, row.at.line, row.text});
    if (!learn(seen.serial, text_of(row, Attribute::serial)) ||
        !learn(seen.part, text_of(row, Attribute::part)) ||
        !learn(seen.revision, text_of(row, Attribute::hardware_rev)))
        seen.disagree = true;
}

} // namespace

std::string_view to_word(Seen::Listing value) {
    switch (value) {
    case Seen::Listing::listed:
        return "listed";
    case Seen::Listing::not_listed:
        return "not_listed";
    case Seen::Listing::unknown:
        return "unknown";
    }
    return "unknown";
}

Seen seen(const std::map<std::string, Heard>& answers, Kind kind, std::string_view name) {
    Seen seen;
    for (const auto& [asking, heard] : answers) {
        const state::Reading& reading = *heard.reading;
        const auto& lists = reading.lists;
        const auto lists_all = [&](Kind each) {
            return std::find(lists.begin(), lists.end(), each) != lists.end();
        };
        bool is_here = false;
        for (const state::Row& row : reading.rows) {
            if (row.kind == kind && row.name == name) {
                take(seen, heard, row);
                is_here = true;
            } else if (row.kind == Kind::alarm && names(row.text, name)) {
                seen.faults.push_back({heard.asking, heard.capture, row.at.line, row.text});
            }
        }
        if (lists_all(Kind::alarm))
            seen.alarms_known = seen.alarms_known || reading.wholly_read();
        if (!is_here && lists_all(kind) && reading.wholly_read() &&
            seen.listing == Seen::Listing::unknown) {
            note(seen, heard);
            seen.listing = Seen::Listing::not_listed;
        }
        for (const state::UnreadLine& unread : reading.unread)
            if (names(unread.text, name) || names(unread.also, name))
                seen.faults.push_back({heard.asking, heard.capture, unread.line, unread.text});
    }
    // The answers are of different instants: what one lists and another does not is not known.
    if (seen.disagree) {
        seen.serial.reset();
        seen.part.reset();
        seen.revision.reset();
    }
    return seen;
}

std::optional<Serial> chassis_serial(const std::map<std::string, Heard>& answers) {
    std::optional<Serial> serial;
    for (const auto& [asking, heard] : answers)
        for (const state::Row& row : heard.reading->rows)
            if (auto text = text_of(row, Attribute::serial); text && row.kind == Kind::chassis) {
                if (serial && serial->text != *text)
                    return std::nullopt;
                serial = Serial{
                    *text, std::max(serial ? serial->answered : heard.answered, heard.answered)};
            }
    return serial;
}

} // namespace slotwitness::card
