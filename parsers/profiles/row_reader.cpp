#include "row_reader.hpp"

#include "attributes.hpp"
#include "cell_text.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace slotwitness::profiles {
namespace {

using As = Meaning::As;

std::string in_quotes(std::string_view text) {
    std::string quoted{"\""};
    return quoted.append(text).append("\"");
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

std::string why_no_word(const Meaning& meaning) {
    return "is not in [words." + meaning.words + "]; if its meaning is known, add it there";
}

/// `fits`: it has the attribute's unit.
std::string why_no_quantity(bool is_quantity, bool fits, state::Attribute attribute) {
    if (!is_quantity)
        return "is not a number with a known unit";
    if (fits)
        return "stands for a value beyond the sensor's range (RFC 8348)";
    const units::Unit unit = unit_of(attribute).value_or(units::Unit::none);
    const std::string subject = "is not in the unit of " + std::string{to_word(attribute)};
    if (unit == units::Unit::none)
        return subject + ", which is a count";
    return subject + ", " + std::string{units::to_text(unit)} +
           "; a bare number takes the unit of its cell in the profile";
}

/// The same bytes in the same place: nothing is left to compare.
bool is_very(std::string_view one, std::string_view other) {
    return one.data() == other.data() && one.size() == other.size();
}

} // namespace

RowReader::RowReader(const Profile& profile, const Query& query, std::size_t answer_size,
                     state::Reading& reading)
    : profile_(profile), query_(query), answer_size_(answer_size), reading_(reading) {
    const std::span<const std::string> labels = std::visit(LabelsOf{}, query.layout);
    for (const auto& [text, meaning] : query.cells) {
        const auto same = std::find(labels.begin(), labels.end(), text);
        const std::string_view label = same != labels.end() ? *same : text;
        Known& known = known_.emplace_back();
        known.label = label;
        known.meaning = &meaning;
        known.is_plain = is_said_plainly(meaning);
        if (meaning.attribute)
            known.unit = unit_of(*meaning.attribute);
        const auto list = profile.words.find(meaning.words);
        if (list == profile.words.end())
            continue;
        known.list = &list->second;
        for (const auto& [word, meant] : list->second)
            known.words.push_back({word, &meant});
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
    row_ = &add_row(block);
    if (query_.name_is)
        row_->name = *query_.name_is;
    facts_.begin(row_->facts);
    name_at_ = {};
    nameless_ = false;
    remarks_.clear();
    ++block_;
    std::size_t place = 0;
    for (const layouts::Cell& cell : block.cells)
        if (Known* known = known_at(place++, cell.label)) {
            known->block = block_;
            read_cell(cell, *known);
        }
    for (const Known& known : known_)
        if (known.block != block_)
            read_missing(block, known);
    if (nameless_ || row_->name.empty() || !is_utf8(row_->name)) {
        refuse(block);
        reading_.rows.pop_back();
        return;
    }
    if (!profile_.stated.empty())
        add_stated(block.at);
    facts_.end();
    std::move(remarks_.begin(), remarks_.end(), std::back_inserter(reading_.remarks));
}

/// A growing list moves all of its rows. How many there will be is told from those so far and
/// their share of the answer; no more than so many at once, lest short rows promise too much.
state::Row& RowReader::add_row(const layouts::Block& block) {
    constexpr std::size_t most_growth = 16;
    std::vector<state::Row>& rows = reading_.rows;
    if (rows.size() == rows.capacity() && !rows.empty()) {
        std::size_t expected = answer_size_ / (text_size_ / rows.size());
        expected += expected / 8;
        rows.reserve(std::clamp(expected, 2 * rows.size(), most_growth * rows.size()));
    }
    text_size_ += block.text.size() + 1;
    state::Row& row = rows.emplace_back();
    row.kind = block.kind.value_or(query_.kind);
    row.at = block.at;
    row.text = block.text;
    return row;
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

void RowReader::read_cell(const layouts::Cell& cell, const Known& known) {
    const Meaning& meaning = *known.meaning;
    const std::string_view text = known.is_plain ? cell.text : said_in(cell.text, meaning);
    if (meaning.as == As::name) {
        read_name(cell, text);
        return;
    }
    if (text.empty()) {
        if (meaning.required)
            unknown_for_empty(cell, meaning);
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
        read_quantity(cell, known, text);
        return;
    }
    __builtin_unreachable();
}

void RowReader::unknown_for_empty(const layouts::Cell& cell, const Meaning& meaning) {
    unknown(meaning, cell.at,
            (cell.text.empty() ? in_quotes(cell.label) + " is empty"
                               : in_quotes(cell.text) + " in " + in_quotes(cell.label) +
                                     " stands for an empty cell") +
                "; where that is no fault, write required = false in its cell of the profile");
}

void RowReader::read_word(const layouts::Cell& cell, const Known& known, std::string_view text) {
    if (known.list == nullptr)
        return;
    if (known.meaning->gravest)
        text = gravest_of(text, *known.list);
    // Lists are short and their words of several lengths: looked at one by one they are found
    // sooner than in the map.
    for (const Word& word : known.words)
        if (word.text == text) {
            for (const Meant& meant : *word.meant)
                add(meant.attribute, meant.value, cell.at);
            return;
        }
    unknown_for(cell, *known.meaning, text, why_no_word(*known.meaning));
}

void RowReader::read_quantity(const layouts::Cell& cell, const Known& known,
                              std::string_view text) {
    const Meaning& meaning = *known.meaning;
    auto quantity = units::parse_quantity(text);
    if (quantity && quantity->unit == units::Unit::none && !meaning.unit.empty())
        quantity = units::parse_quantity(std::string{text} + " " + meaning.unit);
    const auto attribute = *meaning.attribute;
    const auto unit = known.unit;
    const bool fits = quantity && (!unit || quantity->unit == *unit);
    if (fits && (attribute != state::Attribute::reading || !is_beyond_range(text)))
        add(attribute, *quantity, cell.at);
    else
        unknown_for(cell, meaning, text, why_no_quantity(quantity.has_value(), fits, attribute));
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

/// Apart from what reads, so that this needs no room for texts that are seldom wanted.
void RowReader::unknown_for(const layouts::Cell& cell, const Meaning& meaning,
                            std::string_view text, std::string_view why) {
    unknown(meaning, cell.at, (in_quotes(text) + " in " + in_quotes(cell.label) + " ").append(why));
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

template <class Said>
void RowReader::add(state::Attribute attribute, Said&& said, state::Position at) {
    if (state::Fact* before = facts_.said(attribute))
        add_again(attribute, *before, std::forward<Said>(said), at);
    else
        facts_.add(attribute, std::forward<Said>(said), at);
}

void RowReader::add_again(state::Attribute attribute, state::Fact& before,
                          const state::Value& value, state::Position at) {
    if (before.value == value)
        return;
    if (!std::holds_alternative<state::Unknown>(before.value) &&
        !std::holds_alternative<state::Unknown>(value))
        remarks_.push_back({at, std::string{to_word(attribute)} + " is said to be " +
                                    state::to_text(before.value) + " and " + state::to_text(value) +
                                    " in one row: unknown"});
    before.value = state::Unknown{};
}

void RowReader::refuse(const layouts::Block& block) {
    const bool has_cell = name_at_.line != 0;
    reading_.unread.push_back({block.at.line, std::string{block.text},
                               has_cell ? name_at_.column : block.at.column,
                               "a legible name of the " + std::string{to_word(row_->kind)}});
}

} // namespace slotwitness::profiles
