#include "attributes.hpp"
#include "profile.hpp"
#include "row_reader.hpp"

#include <slotwitness/terminal/clean.hpp>

#include <algorithm>
#include <cctype>
#include <iterator>
#include <set>
#include <utility>

namespace slotwitness::profiles {
namespace {

using layouts::Leftover;
using layouts::TakeBlock;

/// Calls the reader of each layout.
struct Reader {
    std::string_view answer;
    bool ended;
    layouts::Octets octets;
    const TakeBlock& take;

    Leftover operator()(const layouts::TableSpec& spec) const {
        return read_table(answer, spec, ended, take, octets);
    }
    Leftover operator()(const layouts::RecordSpec& spec) const {
        return read_record(answer, spec, ended, take, octets);
    }
    Leftover operator()(const layouts::Lines& lines) const {
        return read_lines(answer, lines, ended, take, octets);
    }
    Leftover operator()(const layouts::JsonSpec& spec) const {
        return read_json(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::XmlSpec& spec) const {
        return read_xml(answer, spec, ended, take);
    }
    Leftover operator()(const layouts::HardwareXmlSpec& spec) const {
        return read_hardware_xml(answer, spec, ended, take);
    }
};

terminal::TerminalSpec terminal_of(const Profile& profile, const Asking& asking,
                                   abnf::Scratch& scratch) {
    terminal::TerminalSpec spec;
    spec.pagers = profile.terminal.pagers;
    spec.tab_width = profile.terminal.tab_width;
    if (profile.terminal.echo)
        if (auto sent = request_bytes(profile, asking))
            spec.echo = std::move(*sent);
    if (profile.terminal.has_log_lines)
        spec.is_log_line = [&profile, &scratch](std::string_view line) {
            return profile.terminal.log_lines.takes(line, scratch);
        };
    return spec;
}

/// The block as it stands in the raw answer.
class Placed {
  public:
    explicit Placed(const terminal::Clean& clean) : clean_(clean) {}

    [[nodiscard]] layouts::Block operator()(layouts::Block block) {
        cells_.assign(block.cells.begin(), block.cells.end());
        for (layouts::Cell& cell : cells_)
            cell.at = clean_.raw(cell.at);
        block.at = clean_.raw(block.at);
        block.cells = cells_;
        return block;
    }

  private:
    const terminal::Clean& clean_;
    std::vector<layouts::Cell> cells_;
};

/// What the terminal and the layout set aside, a mark a line.
std::vector<state::SetAsideLine> set_aside(const terminal::Clean& clean, const Leftover& left) {
    std::vector<state::SetAsideLine> lines;
    for (const terminal::SetAside& part : clean.set_aside)
        if (part.why >= terminal::Why::pager)
            lines.push_back({part.at.line, std::string{to_word(part.why)}});
    for (const std::size_t line : left.set_aside)
        lines.push_back({clean.raw({line, 1}).line, "named in the profile"});
    std::stable_sort(lines.begin(), lines.end(),
                     [](const auto& a, const auto& b) { return a.line < b.line; });
    return lines;
}

/// "eth7" in "2/eth7", but not in "eth70".
bool stands_in(std::string_view part, std::string_view name) {
    const auto is_of_word = [&](std::size_t at) {
        return at < name.size() && std::isalnum(static_cast<unsigned char>(name[at])) != 0;
    };
    for (auto at = name.find(part); at != std::string_view::npos; at = name.find(part, at + 1))
        if ((at == 0 || !is_of_word(at - 1)) && !is_of_word(at + part.size()))
            return true;
    return false;
}

/// A query with a parameter is about one named component. An answer of which no row is about it was
/// perhaps asked otherwise, or is that of another query.
void remark_on_another_name(const Asking& asking, const Query& query, state::Reading& reading) {
    if (asking.parameters.empty() || query.name_is || reading.rows.empty())
        return;
    const auto is_about = [&](const state::Row& row) {
        return std::any_of(asking.parameters.begin(), asking.parameters.end(),
                           [&](const auto& one) { return stands_in(one.second, row.name); });
    };
    if (std::any_of(reading.rows.begin(), reading.rows.end(), is_about))
        return;
    std::string asked;
    for (const auto& [name, value] : asking.parameters)
        asked.append(asked.empty() ? "\"" : " and \"").append(value).append("\"");
    const state::Row& row = reading.rows.front();
    reading.remarks.insert(
        reading.remarks.begin(),
        {row.at, "the answer names \"" + row.name + "\", but was asked about " + asked});
}

} // namespace

state::Reading read(const Profile& profile, std::string_view query, std::string_view answer,
                    bool whole) {
    return read(profile, Asking{std::string{query}, {}}, answer, whole);
}

state::Reading read(const Profile& profile, const Asking& asking, std::string_view answer,
                    bool whole) {
    state::Reading reading;
    reading.whole = whole;
    const auto found = profile.queries.find(asking.query);
    if (found == profile.queries.end()) {
        reading.unread.push_back(
            {1, std::string{answer.substr(0, layouts::longest_line)}, 1,
             "an answer to a query of the profile, which has no \"" + asking.query + "\""});
        return reading;
    }
    const Query& query = found->second;
    const std::set<state::Kind> kinds = kinds_of(query);
    reading.tells.assign(kinds.begin(), kinds.end());
    if (query.lists)
        reading.lists = reading.tells;
    abnf::Scratch scratch;
    const terminal::Clean clean =
        terminal::clean(answer, terminal_of(profile, asking, scratch), whole);
    const bool as_sent = !clean.rewritten;
    RowReader rows{profile, query, clean.text().size(), reading};
    Placed placed{clean};
    const TakeBlock take = [&](const layouts::Block& block) {
        if (as_sent)
            rows.read(block);
        else
            rows.read(placed(block));
    };
    Leftover left =
        std::visit(Reader{clean.text(), whole,
                          clean.plain ? layouts::Octets::plain : layouts::Octets::any, take},
                   query.layout);
    reading.whole = whole && !left.is_cut; // whatever the transport saw
    remark_on_another_name(asking, query, reading);
    reading.set_aside = set_aside(clean, left);
    // Rows without a name are unread already, in places of the raw answer.
    auto unread = clean.unread_with(std::move(left.unread));
    std::move(unread.begin(), unread.end(), std::back_inserter(reading.unread));
    std::stable_sort(reading.unread.begin(), reading.unread.end(),
                     [](const auto& a, const auto& b) { return a.line < b.line; });
    tell_composed_names(rows.composed(), reading);
    return reading;
}

} // namespace slotwitness::profiles
