#include "row_reader.hpp"

#include "attributes.hpp"
#include "cell_text.hpp"
#include "unknown_cells.hpp"

#include <algorithm>

namespace slotwitness::profiles {

using As = Meaning::As;

inline void RowReader::read_cell(const layouts::Cell& cell, const KnownCell& known) {
    const std::string_view text = known.is_plain ? cell.text : said_in(cell.text, *known.meaning);
    if (text.empty() && known.as != As::name) {
        read_empty(cell, known);
        return;
    }
    switch (known.as) {
    case As::name:
        read_name(cell, text);
        return;
    case As::word:
        read_word(cell, known, text);
        return;
    case As::text:
        read_text(cell, known, text);
        return;
    case As::names:
        read_names(cell, known, text);
        return;
    case As::quantity:
        read_quantity(cell, known, text);
        return;
    case As::ignored:
        return;
    }
    __builtin_unreachable();
}

void RowReader::read(const layouts::Block& block) {
    // Read in its place among the rows, and taken away again if it has no name.
    row_ = &add_row(block);
    if (query_.name_is)
        row_->name = *query_.name_is;
    facts_.begin(row_->facts);
    name_at_ = {};
    nameless_ = false;
    parts_.clear();
    ++number_;
    std::size_t place = 0;
    std::size_t known_here = 0;
    for (const layouts::Cell& cell : block.cells)
        if (KnownCell* known = cells_.find(cell.label, place++)) {
            known_here += known->row != number_ ? 1 : 0;
            known->row = number_;
            read_cell(cell, *known);
        }
    if (known_here != cells_.all().size())
        for (const KnownCell& known : cells_.all())
            if (known.row != number_)
                read_missing(block, known);
    if (nameless_ || row_->name.empty() || !is_utf8(row_->name)) {
        refuse(block);
        reading_.rows.pop_back();
        return;
    }
    if (composing_ != Composing::no)
        end_name();
    if (!profile_.stated.empty())
        add_stated(block.at);
    facts_.end(reading_.remarks);
}

/// A growing list moves all of its rows. How many there will be is told from those so far and
/// their share of the answer; no more than so many at once, lest short rows promise too much.
state::Row& RowReader::add_row(const layouts::Block& block) {
    constexpr std::size_t most_growth = 64;
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
    row.text = std::string{block.text}; // sooner than assigned
    return row;
}

/// Several name cells make one name, in the order in which they stand in the text.
void RowReader::read_name(const layouts::Cell& cell, std::string_view text) {
    nameless_ = nameless_ || text.empty();
    if (composing_ == Composing::of_cells)
        note_part(cell, text);
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

RowReader::Composing RowReader::composing_of(const Query& query) {
    const auto* table = std::get_if<layouts::TableSpec>(&query.layout);
    return query.name_join                    ? Composing::of_cells
           : table != nullptr && table->wraps ? Composing::of_lines
                                              : Composing::no;
}

/// What heads a group stands above the row. A cell may wrap: its first word is in its first line.
void RowReader::note_part(const layouts::Cell& cell, std::string_view text) {
    if (cell.at.line >= row_->at.line)
        parts_.emplace_back(text.substr(0, text.find(' ')));
}

void RowReader::end_name() {
    if (composing_ == Composing::of_lines) {
        const std::size_t blank = row_->name.find(' ');
        if (blank == std::string::npos)
            return;
        parts_ = {row_->name.substr(0, blank)};
    }
    composed_.push_back({reading_.rows.size() - 1, parts_});
}

void RowReader::read_word(const layouts::Cell& cell, const KnownCell& known,
                          std::string_view text) {
    if (known.list == nullptr)
        return;
    if (known.meaning->gravest)
        text = gravest_of(text, *known.list);
    const std::vector<Meant>* meant = known.words->find(text);
    if (meant == nullptr) {
        unknown(*known.meaning, cell.at, why_no_word(cell, text, *known.meaning));
        return;
    }
    for (const Meant& one : *meant)
        facts_.say_word(one.attribute, cell.at, one.value);
}

void RowReader::read_quantity(const layouts::Cell& cell, const KnownCell& known,
                              std::string_view text) {
    const Meaning& meaning = *known.meaning;
    auto quantity = units::parse_quantity(text);
    if (quantity && quantity->unit == units::Unit::none && !meaning.unit.empty())
        quantity = units::parse_quantity(std::string{text} + " " + meaning.unit);
    const auto attribute = *meaning.attribute;
    const bool fits = quantity && (!known.unit || quantity->unit == *known.unit);
    if (fits && (attribute != state::Attribute::reading || !is_beyond_range(text)))
        facts_.say(attribute, cell.at, *quantity);
    else
        unknown(meaning, cell.at,
                why_no_quantity(cell, text, quantity.has_value(), fits, attribute));
}

void RowReader::read_text(const layouts::Cell& cell, const KnownCell& known,
                          std::string_view text) {
    facts_.say(*known.meaning->attribute, cell.at, std::string{text});
}

void RowReader::read_names(const layouts::Cell& cell, const KnownCell& known,
                           std::string_view text) {
    facts_.say(*known.meaning->attribute, cell.at, names_in(text));
}

void RowReader::read_empty(const layouts::Cell& cell, const KnownCell& known) {
    if (known.meaning->required)
        unknown(*known.meaning, cell.at, why_not_empty(cell));
}

/// A label that the block does not have. Of a block that is not complete nobody knows what it had.
void RowReader::read_missing(const layouts::Block& block, const KnownCell& known) {
    nameless_ = nameless_ || known.meaning->as == As::name;
    if (known.meaning->required || !block.complete)
        unknown(*known.meaning, block.at, why_missing(known.label, block.complete));
}

void RowReader::unknown(const Meaning& meaning, state::Position at, const std::string& why) {
    std::string subject;
    for (const state::Attribute attribute : attributes_of(profile_, meaning)) {
        facts_.say(attribute, at, state::Unknown{});
        subject.append(subject.empty() ? "" : " and ").append(to_word(attribute));
    }
    if (!subject.empty())
        facts_.remark(at, why + ": " + subject + " unknown");
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
        facts_.say(attribute, at, state::Value{value});
}

void RowReader::refuse(const layouts::Block& block) {
    const bool has_cell = name_at_.line != 0;
    reading_.unread.push_back({block.at.line, std::string{block.text},
                               has_cell ? name_at_.column : block.at.column,
                               "a legible name of the " + std::string{to_word(row_->kind)}});
}

} // namespace slotwitness::profiles
