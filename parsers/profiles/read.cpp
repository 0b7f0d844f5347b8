#include "attributes.hpp"
#include "profile.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::profiles {
namespace {

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
    for (std::size_t at = 0; at < text.size();) {
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

/// Turns one block into a row, or tells why it has none.
class RowReader {
  public:
    RowReader(const Profile& profile, const Query& query, const layouts::Block& block,
              state::Reading& reading)
        : profile_(profile), query_(query), block_(block), reading_(reading) {}

    void read() && {
        row_.kind = query_.kind;
        row_.at = block_.at;
        row_.text = block_.text;
        if (query_.name_is)
            row_.name = *query_.name_is;
        for (const layouts::Cell& cell : block_.cells)
            if (const auto meaning = query_.cells.find(cell.label); meaning != query_.cells.end())
                read_cell(cell, meaning->second);
        for (const auto& [label, meaning] : query_.cells)
            read_missing(label, meaning);
        if (row_.name.empty() || !is_utf8(row_.name)) {
            refuse();
            return;
        }
        reading_.rows.push_back(std::move(row_));
        std::move(remarks_.begin(), remarks_.end(), std::back_inserter(reading_.remarks));
    }

  private:
    using As = Meaning::As;

    void read_cell(const layouts::Cell& cell, const Meaning& meaning) {
        const std::string_view text = said_in(cell, meaning);
        if (meaning.as == As::name) {
            name_at_ = cell.at;
            row_.name = text;
            return;
        }
        if (text.empty()) {
            if (meaning.required)
                unknown(meaning, cell.at,
                        in_quotes(cell.label) +
                            " is empty; where that is no fault, write "
                            "required = false or empty = […] in its cell of the "
                            "profile");
            return;
        }
        switch (meaning.as) {
        case As::name:
        case As::ignored:
            return;
        case As::word:
            read_word(cell, meaning, text);
            return;
        case As::text:
            add(meaning, std::string{text}, cell.at);
            return;
        case As::names:
            add(meaning, names_in(text), cell.at);
            return;
        case As::quantity:
            read_quantity(cell, meaning, text);
            return;
        }
        __builtin_unreachable();
    }

    void read_word(const layouts::Cell& cell, const Meaning& meaning, std::string_view text) {
        const auto list = profile_.words.find(meaning.words);
        if (list == profile_.words.end())
            return;
        const auto word = list->second.find(std::string{text});
        if (word == list->second.end()) {
            unknown(meaning, cell.at,
                    in_quotes(text) + " in " + in_quotes(cell.label) + " is not in [words." +
                        meaning.words + "]; if its meaning is known, add it there");
            return;
        }
        for (const Meant& meant : word->second)
            add(meant.attribute, meant.value, cell.at);
    }

    void read_quantity(const layouts::Cell& cell, const Meaning& meaning, std::string_view text) {
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

    /// A label that the block does not have. Of a block that is not complete nobody knows what it
    /// had.
    void read_missing(const std::string& label, const Meaning& meaning) {
        const bool there =
            std::any_of(block_.cells.begin(), block_.cells.end(),
                        [&](const layouts::Cell& cell) { return cell.label == label; });
        if (!there && (meaning.required || !block_.complete))
            unknown(meaning, block_.at,
                    in_quotes(label) +
                        (block_.complete
                             ? " is missing here; where that is no fault, write required "
                               "= false in its cell of the profile"
                             : " was not read, for lines of this block are unread"));
    }

    void unknown(const Meaning& meaning, state::Position at, const std::string& why) {
        std::string subject;
        for (const state::Attribute attribute : attributes_of(profile_, meaning)) {
            add(attribute, state::Unknown{}, at);
            subject.append(subject.empty() ? "" : " and ").append(to_word(attribute));
        }
        if (!subject.empty())
            remarks_.push_back({at, why + ": " + subject + " unknown"});
    }

    void add(const Meaning& meaning, state::Value value, state::Position at) {
        add(*meaning.attribute, std::move(value), at);
    }

    void add(state::Attribute attribute, state::Value value, state::Position at) {
        const auto [before, is_new] = row_.facts.emplace(attribute, state::Fact{value, at});
        if (is_new || before->second.value == value)
            return;
        if (!std::holds_alternative<state::Unknown>(before->second.value) &&
            !std::holds_alternative<state::Unknown>(value))
            remarks_.push_back({at, std::string{to_word(attribute)} + " is said to be " +
                                        state::to_text(before->second.value) + " and " +
                                        state::to_text(value) + " in one row: unknown"});
        before->second.value = state::Unknown{};
    }

    void refuse() {
        const bool has_cell = name_at_.line != 0;
        reading_.unread.push_back({block_.at.line, block_.text,
                                   has_cell ? name_at_.column : block_.at.column,
                                   "a legible name of the " + std::string{to_word(query_.kind)}});
    }

    const Profile& profile_;
    const Query& query_;
    const layouts::Block& block_;
    state::Reading& reading_;
    state::Row row_;
    state::Position name_at_;
    std::vector<state::Remark> remarks_; ///< kept only with the row
};

layouts::Sheet read_sheet(const Query& query, std::string_view answer, bool whole) {
    if (const auto* table = std::get_if<layouts::TableSpec>(&query.layout))
        return read_table(answer, *table, whole);
    return read_record(answer, std::get<layouts::RecordSpec>(query.layout), whole);
}

} // namespace

state::Reading read(const Profile& profile, std::string_view query, std::string_view answer,
                    bool whole) {
    state::Reading reading;
    reading.whole = whole;
    const auto found = profile.queries.find(std::string{query});
    if (found == profile.queries.end()) {
        reading.unread.push_back(
            {1, std::string{answer.substr(0, layouts::longest_line)}, 1,
             "an answer to a query of the profile, which has no " + in_quotes(query)});
        return reading;
    }
    layouts::Sheet sheet = read_sheet(found->second, answer, whole);
    if (found->second.lists)
        reading.lists.push_back(found->second.kind);
    reading.unread = std::move(sheet.unread);
    for (const layouts::Block& block : sheet.blocks)
        RowReader{profile, found->second, block, reading}.read();
    std::stable_sort(reading.unread.begin(), reading.unread.end(),
                     [](const auto& a, const auto& b) { return a.line < b.line; });
    return reading;
}

} // namespace slotwitness::profiles
