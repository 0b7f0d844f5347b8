#include "row_reader.hpp"

#include "attributes.hpp"

#include <slotwitness/state/printable.hpp>

#include <algorithm>
#include <iterator>
#include <utility>

namespace slotwitness::profiles {
namespace {

using As = Meaning::As;

std::string_view without_blanks(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    return text.substr(0, text.find_last_not_of(' ') + 1);
}

/// What the device says in a cell, once `until` and `empty` of its meaning have been heeded.
std::string_view said_in(const layouts::Cell& cell, const Meaning& meaning) {
    std::string_view text = cell.text;
    if (!meaning.until.empty())
        text = without_blanks(text.substr(0, text.find(meaning.until)));
    const bool stands_for_empty =
        std::find(meaning.empty.begin(), meaning.empty.end(), text) != meaning.empty.end();
    return stands_for_empty ? std::string_view{} : text;
}

state::Names names_in(std::string_view text) {
    state::Names names;
    while (true) {
        text.remove_prefix(std::min(text.find_first_not_of(" ,"), text.size()));
        if (text.empty())
            return names;
        const std::string_view name = text.substr(0, text.find_first_of(" ,"));
        names.emplace_back(name);
        text.remove_prefix(name.size());
    }
}

/// RFC 8348, sensor-value: −1000000000 is underflow, +1000000000 overflow, whatever the scale.
bool is_beyond_range(std::string_view number) {
    if (number.starts_with('-') || number.starts_with('+'))
        number.remove_prefix(1);
    constexpr std::string_view bound = "1000000000";
    return number.starts_with(bound) &&
           number.substr(bound.size()).find_first_of("0123456789.") != 0;
}

/// A byte above 0x7f outside a UTF-8 sequence is a name that nobody can write.
bool is_utf8(std::string_view text) {
    const auto tails = [](unsigned char first) {
        if (first < 0x80)
            return 0;
        if (first < 0xc2 || first > 0xf4)
            return -1;
        return first < 0xe0 ? 1 : first < 0xf0 ? 2 : 3;
    };
    for (std::size_t at = state::printable_ascii(text); at < text.size();) {
        const int count = tails(static_cast<unsigned char>(text[at++]));
        if (count < 0)
            return false;
        for (int i = 0; i < count; ++i, ++at)
            if (at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xc0U) != 0x80U)
                return false;
    }
    return true;
}

std::string in_quotes(std::string_view text) {
    std::string quoted{"\""};
    return quoted.append(text).append("\"");
}

/// RFC 8348 numbers the states of an alarm by their gravity, but for under-repair.
bool graver(state::AlarmState one, state::AlarmState other) {
    const auto rank = [](state::AlarmState grade) {
        return grade == state::AlarmState::under_repair ? 100 : static_cast<int>(grade);
    };
    return rank(one) < rank(other);
}

/// Of several words of alarm states the gravest; one that has no such meaning makes it unknown.
std::string_view gravest_of(std::string_view text, const WordList& words) {
    std::string_view gravest = text;
    std::optional<state::AlarmState> known;
    for (std::string_view rest = text; !rest.empty();) {
        const std::string_view one = rest.substr(0, rest.find(' '));
        rest = without_blanks(rest.substr(one.size()));
        const auto word = words.find(one);
        if (word == words.end())
            return text;
        const auto* grade = std::get_if<state::AlarmState>(&word->second.front().value);
        if (grade == nullptr)
            return one; // unknown
        if (!known || graver(*grade, *known)) {
            known = *grade;
            gravest = one;
        }
    }
    return gravest;
}

/// The labels as the layout shows them with its cells, where its specification holds them.
struct LabelsOf {
    std::span<const std::string> operator()(const layouts::TableSpec& spec) const {
        return spec.columns;
    }
    std::span<const std::string> operator()(const layouts::Lines& lines) const {
        return lines.spec().cells;
    }
    template <class Spec>
    std::span<const std::string> operator()(const Spec&) const {
        return {};
    }
};

/// The same bytes in the same place: nothing is left to compare.
bool is_very(std::string_view one, std::string_view other) {
    return one.data() == other.data() && one.size() == other.size();
}

} // namespace

RowReader::RowReader(const Profile& profile, const Query& query, state::Reading& reading)
    : profile_(profile), query_(query), reading_(reading) {
    const std::span<const std::string> labels = std::visit(LabelsOf{}, query.layout);
    for (const auto& [text, meaning] : query.cells) {
        const auto same = std::find(labels.begin(), labels.end(), text);
        const std::string_view label = same != labels.end() ? *same : text;
        const auto list = profile.words.find(meaning.words);
        known_.push_back({label, &meaning, list == profile.words.end() ? nullptr : &list->second});
    }
}

/// The rows of a table have their cells in one order: what stood at `place` last time is looked at
/// first.
RowReader::Known* RowReader::known_at(std::size_t place, std::string_view label) {
    if (place < known_.size() && is_very(known_[place].label, label))
        return &known_[place];
    return find(label, place);
}

void RowReader::read(const layouts::Block& block) {
    // Read in its place among the rows, and taken away again if it has no name.
    row_ = &reading_.rows.emplace_back();
    row_->kind = block.kind.value_or(query_.kind);
    if (query_.name_is)
        row_->name = *query_.name_is;
    row_->facts.reserve(facts_before_);
    name_at_ = {};
    nameless_ = false;
    remarks_.clear();
    ++block_;
    std::size_t missing = known_.size();
    for (std::size_t i = 0; i < block.cells.size(); ++i)
        if (Known* known = known_at(i, block.cells[i].label)) {
            missing -= std::exchange(known->block, block_) != block_ ? 1 : 0;
            read_cell(block.cells[i], *known);
        }
    if (missing > 0)
        for (const Known& known : known_)
            if (known.block != block_)
                read_missing(block, known);
    if (nameless_ || row_->name.empty() || !is_utf8(row_->name)) {
        refuse(block);
        reading_.rows.pop_back();
        return;
    }
    add_stated(block.at);
    row_->at = block.at;
    row_->text = std::string{block.text}; // one piece of memory, as large as the text
    facts_before_ = row_->facts.size();
    std::move(remarks_.begin(), remarks_.end(), std::back_inserter(reading_.remarks));
}

/// What the profile states stands beside what the device says; at odds, it is unknown.
void RowReader::add_stated(state::Position at) {
    const auto kind = profile_.stated.find(row_->kind);
    if (kind == profile_.stated.end())
        return;
    const auto component = kind->second.find(row_->name);
    if (component == kind->second.end())
        return;
    for (const auto& [attribute, value] : component->second)
        add(attribute, value, at);
}

RowReader::Known* RowReader::find(std::string_view label, std::size_t place) {
    const auto same = [&](const Known& known) { return known.label == label; };
    if (place < known_.size() && same(known_[place]))
        return &known_[place];
    const auto found = std::find_if(known_.begin(), known_.end(), same);
    if (found == known_.end())
        return nullptr;
    if (place < known_.size())
        std::swap(known_[place], *found);
    return place < known_.size() ? &known_[place] : &*found;
}

/// Several name cells make one name, in the order in which they stand in the text.
void RowReader::read_name(const layouts::Cell& cell, std::string_view text) {
    nameless_ = nameless_ || text.empty();
    const bool is_first = name_at_.line == 0;
    const bool is_before = !is_first && cell.at < name_at_;
    if (is_first)
        row_->name = text;
    else if (is_before)
        row_->name.insert(0, std::string{text} + query_.name_join.value_or(""));
    else
        row_->name.append(query_.name_join.value_or("")).append(text);
    if (!is_before)
        name_at_ = cell.at;
}

void RowReader::read_cell(const layouts::Cell& cell, Known& known) {
    const Meaning& meaning = *known.meaning;
    const std::string_view text = said_in(cell, meaning);
    if (meaning.as == As::name) {
        read_name(cell, text);
        return;
    }
    if (text.empty()) {
        if (meaning.required)
            unknown(meaning, cell.at,
                    (cell.text.empty() ? in_quotes(cell.label) + " is empty"
                                       : in_quotes(cell.text) + " in " + in_quotes(cell.label) +
                                             " stands for an empty cell") +
                        "; where that is no fault, write required = false in its cell of the "
                        "profile");
        return;
    }
    switch (meaning.as) {
    case As::name:
    case As::ignored:
        return;
    case As::word:
        read_word(cell, known, text);
        return;
    case As::text:
        add(*meaning.attribute, std::string{text}, cell.at);
        return;
    case As::names:
        add(*meaning.attribute, names_in(text), cell.at);
        return;
    case As::quantity:
        read_quantity(cell, meaning, text);
        return;
    }
    __builtin_unreachable();
}

void RowReader::read_word(const layouts::Cell& cell, Known& known, std::string_view text) {
    if (known.words == nullptr)
        return;
    if (known.meaning->gravest)
        text = gravest_of(text, *known.words);
    // Most rows say what the row above said.
    if (known.word == nullptr || known.word->first != text) {
        const auto found = known.words->find(text);
        known.word = found == known.words->end() ? nullptr : &*found;
    }
    if (known.word == nullptr) {
        unknown(*known.meaning, cell.at,
                in_quotes(text) + " in " + in_quotes(cell.label) + " is not in [words." +
                    known.meaning->words + "]; if its meaning is known, add it there");
        return;
    }
    for (const Meant& meant : known.word->second)
        add(meant.attribute, meant.value, cell.at);
}

void RowReader::read_quantity(const layouts::Cell& cell, const Meaning& meaning,
                              std::string_view text) {
    auto quantity = units::parse_quantity(text);
    if (quantity && quantity->unit == units::Unit::none && !meaning.unit.empty())
        quantity = units::parse_quantity(std::string{text} + " " + meaning.unit);
    const auto attribute = *meaning.attribute;
    const auto unit = unit_of(attribute);
    if (!quantity) {
        unknown(meaning, cell.at,
                in_quotes(text) + " in " + in_quotes(cell.label) +
                    " is not a number with a known unit");
    } else if (unit && quantity->unit != *unit) {
        unknown(meaning, cell.at,
                in_quotes(text) + " in " + in_quotes(cell.label) + " is not in the unit of " +
                    std::string{to_word(attribute)} +
                    (*unit == units::Unit::none
                         ? ", which is a count"
                         : ", " + std::string{units::to_text(*unit)} +
                               "; a bare number takes the unit of its cell in the profile"));
    } else if (attribute == state::Attribute::reading && is_beyond_range(text)) {
        unknown(meaning, cell.at,
                in_quotes(text) + " in " + in_quotes(cell.label) +
                    " stands for a value beyond the sensor's range (RFC 8348)");
    } else {
        add(attribute, *quantity, cell.at);
    }
}

/// A label that the block does not have. Of a block that is not complete nobody knows what it had.
void RowReader::read_missing(const layouts::Block& block, const Known& known) {
    nameless_ = nameless_ || known.meaning->as == As::name;
    if (!known.meaning->required && block.complete)
        return;
    unknown(*known.meaning, block.at,
            in_quotes(known.label) +
                (block.complete ? " is missing here; where that is no fault, write required = "
                                  "false in its cell of the profile"
                                : " was not read, for lines of this block are unread"));
}

void RowReader::unknown(const Meaning& meaning, state::Position at, const std::string& why) {
    std::string subject;
    for (const state::Attribute attribute : attributes_of(profile_, meaning)) {
        add(attribute, state::Unknown{}, at);
        subject.append(subject.empty() ? "" : " and ").append(to_word(attribute));
    }
    if (!subject.empty())
        remarks_.push_back({at, why + ": " + subject + " unknown"});
}

/// Most cells stand in the order of their attributes, so that a fact is the row's last, and is
/// built in its place.
template <class Said>
void RowReader::add(state::Attribute attribute, Said&& said, state::Position at) {
    state::Facts& facts = row_->facts;
    if (facts.empty() || std::prev(facts.end())->first < attribute) {
        const auto fact = facts.try_emplace(facts.end(), attribute);
        fact->second.value = std::forward<Said>(said);
        fact->second.at = at;
    } else {
        add_out_of_order(attribute, std::forward<Said>(said), at);
    }
}

void RowReader::add_out_of_order(state::Attribute attribute, state::Value value,
                                 state::Position at) {
    state::Facts& facts = row_->facts;
    const auto before = facts.lower_bound(attribute);
    if (before == facts.end() || before->first != attribute) {
        facts.emplace_hint(before, attribute, state::Fact{std::move(value), at});
        return;
    }
    if (before->second.value == value)
        return;
    if (!std::holds_alternative<state::Unknown>(before->second.value) &&
        !std::holds_alternative<state::Unknown>(value))
        remarks_.push_back({at, std::string{to_word(attribute)} + " is said to be " +
                                    state::to_text(before->second.value) + " and " +
                                    state::to_text(value) + " in one row: unknown"});
    before->second.value = state::Unknown{};
}

void RowReader::refuse(const layouts::Block& block) {
    const bool has_cell = name_at_.line != 0;
    reading_.unread.push_back({block.at.line, std::string{block.text},
                               has_cell ? name_at_.column : block.at.column,
                               "a legible name of the " + std::string{to_word(row_->kind)}});
}

} // namespace slotwitness::profiles
