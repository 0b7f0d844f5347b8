#include "meaning.hpp"

#include "text.hpp"

#include <slotwitness/units/quantity.hpp>

#include <algorithm>

namespace slotwitness::draft {

namespace {

using units::Unit;

/// What the column says, a text a block; a dash stands for nothing.
struct Said {
    std::vector<std::string> texts; ///< those that say something
    std::set<std::string> words;    ///< each once
    std::set<std::string> dashes;   ///< texts that stand for an empty cell
    bool has_gaps = false;          ///< a cell is empty or missing
};

Said said_in(const Column& column) {
    static const std::set<std::string, std::less<>> for_nothing{"-", "--", "---", "n/a", "N/A"};
    Said said;
    for (const auto& text : column.texts) {
        const bool is_empty = !text || text->empty();
        const bool is_dash = !is_empty && for_nothing.contains(*text);
        said.has_gaps = said.has_gaps || is_empty || is_dash;
        if (is_dash)
            said.dashes.insert(*text);
        if (is_empty || is_dash)
            continue;
        said.texts.push_back(*text);
        said.words.insert(*text);
    }
    return said;
}

/// Letters, perhaps in two or three words: what a state is called. "up/down" may be one, a path is
/// not.
bool is_word(std::string_view text) {
    constexpr std::size_t longest = 24;
    return text.size() <= longest && cut_at_blanks(text, 1).size() <= 3 &&
           std::count(text.begin(), text.end(), '/') <= 1 && !text.starts_with('/') &&
           !text.ends_with('/') && std::all_of(text.begin(), text.end(), [](char byte) {
               return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || byte == '-' ||
                      byte == '_' || byte == ' ' || byte == '/';
           });
}

/// Few words for many rows, or single words that stand more than once or in a row or two.
bool are_words(const Said& said) {
    constexpr std::size_t most = 12;
    if (said.words.size() > most || !std::all_of(said.words.begin(), said.words.end(),
                                                 [](const auto& w) { return is_word(w); }))
        return false;
    const bool is_single = std::all_of(said.words.begin(), said.words.end(), [](const auto& word) {
        return cut_at_blanks(word, 1).size() == 1;
    });
    return said.words.size() * 2 <= said.texts.size() ||
           (is_single && (said.texts.size() < 4 || said.words.size() < said.texts.size()));
}

/// What its label says that it names or finds something is no list of states, however few there
/// are: "OWNER", "HOST ID".
bool is_identifier(const Column& column) {
    static const std::set<std::string, std::less<>> kinds{
        "address", "device", "file", "group",  "host",   "id",   "interface", "model", "mountpoint",
        "name",    "owner",  "path", "source", "target", "user", "uuid",      "vendor"};
    const std::string label = slug(column.label, "");
    return kinds.contains(std::string_view{label}.substr(label.rfind('-') + 1));
}

/// A number of the line, not of what stands in it.
bool is_line_number(const Column& column) {
    static const std::set<std::string, std::less<>> labels{"idx", "index", "no", "nr"};
    return labels.contains(slug(column.label, ""));
}

/// What a unit measures, where that leaves no choice.
std::string_view attribute_for(Unit unit) {
    switch (unit) {
    case Unit::celsius:
    case Unit::watts:
    case Unit::volts:
    case Unit::amperes:
    case Unit::hertz:
    case Unit::percent:
    case Unit::cubic_metres_per_minute:
        return "reading";
    case Unit::rpm:
        return "speed";
    case Unit::bits_per_second:
    case Unit::seconds:
    case Unit::newton_metres:
    case Unit::none:
        return "";
    }
    __builtin_unreachable();
}

/// What all of the texts measure; `unit` is that of the first, `attribute` empty where a person
/// has to choose.
struct Measured {
    Unit unit = Unit::none;
    std::string_view attribute;
};
std::optional<Measured> measured_in(const Said& said) {
    std::optional<Measured> measured;
    for (const std::string& text : said.texts) {
        const auto quantity = units::parse_quantity(text);
        if (!quantity)
            return std::nullopt;
        const std::string_view attribute = attribute_for(quantity->unit);
        if (!measured)
            measured = {quantity->unit, attribute};
        // A list of sensors has one unit a row.
        else if (measured->attribute.empty() ? measured->unit != quantity->unit
                                             : measured->attribute != attribute)
            return std::nullopt;
    }
    return measured;
}

/// "400G" may be a rate or a size: nothing says of what it is so many.
bool says_per_second(const Said& said) {
    return std::all_of(said.texts.begin(), said.texts.end(), [](const std::string& text) {
        return text.ends_with("/s") || text.ends_with("ps");
    });
}

std::string choice_for(Unit unit, const Said& said) {
    if (unit == Unit::bits_per_second && !says_per_second(said))
        return "capacity or load, if it is a rate in b/s; a size: text?";
    if (unit == Unit::bits_per_second)
        return "a rate: capacity or load?";
    if (unit == Unit::seconds)
        return "a span of time: uptime, if it is that of the present state";
    if (unit == Unit::none)
        return "a bare number: links-usable, links-total, errors, flaps, or a reading with unit = "
               "…?";
    return "a quantity: reading?";
}

CellDraft ignored(std::string comment) {
    return {"{ as = \"ignored\" }", std::move(comment)};
}

/// The colon of "Settings for port7:" is no part of the name.
std::string name_cell(const Column& column) {
    const bool have_colons = std::all_of(
        column.texts.begin(), column.texts.end(),
        [](const std::optional<std::string>& text) { return text && text->ends_with(':'); });
    return have_colons && !column.texts.empty() ? "{ as = \"name\", until = \":\" }"
                                                : "{ as = \"name\" }";
}

} // namespace

std::size_t name_column(const Shape& shape) {
    const auto is_full = [&](const Column& column) {
        return shape.blocks > 0 && said_in(column).texts.size() == shape.blocks;
    };
    const auto is_unique = [&](const Column& column) {
        return is_full(column) && said_in(column).words.size() == shape.blocks;
    };
    auto found = std::find_if(shape.columns.begin(), shape.columns.end(), is_unique);
    if (found != shape.columns.end() && is_line_number(*found)) {
        const auto text = std::find_if(found, shape.columns.end(), [&](const Column& column) {
            return is_unique(column) && !measured_in(said_in(column));
        });
        if (text != shape.columns.end())
            found = text;
    }
    if (found == shape.columns.end())
        found = std::find_if(shape.columns.begin(), shape.columns.end(), is_full);
    return found == shape.columns.end() ? 0
                                        : static_cast<std::size_t>(found - shape.columns.begin());
}

std::vector<CellDraft> CellDrafter::draft(std::size_t name) {
    std::vector<CellDraft> cells;
    for (std::size_t i = 0; i < shape_.columns.size(); ++i)
        cells.push_back(i == name ? CellDraft{name_cell(shape_.columns[i]), ""}
                                  : draft(shape_.columns[i]));
    return cells;
}

CellDraft CellDrafter::draft(const Column& column) {
    const Said said = said_in(column);
    if (said.texts.empty())
        return ignored("nothing stands here in the text");
    std::string keys = said.has_gaps ? ", required = false" : "";
    if (!said.dashes.empty())
        keys += ", empty = " + in_toml({said.dashes.begin(), said.dashes.end()});
    if (const auto measured = measured_in(said)) {
        const std::string attribute(measured->attribute);
        if (attribute.empty() || !attributes_.insert(attribute).second)
            return ignored(in_comment(said.texts.front()) + ": " +
                           choice_for(measured->unit, said));
        return {"{ as = \"quantity\", attribute = \"" + attribute + "\"" + keys + " }", ""};
    }
    if (!is_identifier(column) && are_words(said))
        return draft_words(column, said.words, keys);
    if (slug(column.label, "").find("serial") != std::string::npos &&
        attributes_.insert("serial").second)
        return {"{ as = \"text\", attribute = \"serial\"" + keys + " }", "by its label"};
    const bool has_commas = std::all_of(said.texts.begin(), said.texts.end(), [](const auto& text) {
        return text.find(", ") != std::string::npos;
    });
    return ignored(in_comment(said.texts.front()) +
                   (has_commas ? ": names? serves, covers" : ": text?"));
}

CellDraft CellDrafter::draft_words(const Column& column, const std::set<std::string>& words,
                                   const std::string& keys) {
    const std::string list = slug(column.label, "words");
    words_[list].insert(words.begin(), words.end());
    return {"{ as = \"word\", words = \"" + list + "\"" + keys + " }", ""};
}

} // namespace slotwitness::draft
