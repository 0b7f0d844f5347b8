#include "print_state.hpp"

#include "state_table.hpp"

#include <slotwitness/marked/legible.hpp>

#include <nlohmann/json.hpp>

#include <map>

namespace slotwitness::program {

using marked::legible;

namespace {

std::string facts_in_a_line(const state::Row& row) {
    std::string line;
    for (const auto& [attribute, fact] : row.facts)
        line += (line.empty() ? "" : "; ") + std::string(state::to_word(attribute)) + " " +
                state::to_text(fact.value);
    return legible(line).text;
}

} // namespace

std::string in_a_line(const state::Row& row) {
    const std::string facts = facts_in_a_line(row);
    return std::string(state::to_word(row.kind)) + " " + legible(row.name).text +
           (facts.empty() ? "" : ": " + facts);
}

void print_rows(std::ostream& out, const std::string& chassis, const std::vector<state::Row>& rows,
                const std::set<state::Kind>& listed, std::size_t columns) {
    std::map<state::Kind, std::vector<const state::Row*>> by_kind;
    for (const state::Row& row : rows)
        by_kind[row.kind].push_back(&row);
    for (const auto& [kind, members] : by_kind) {
        if (columns > 0)
            out << '\n' << fitted(state_table(kind, members, columns), columns);
        else
            for (const state::Row* row : members)
                out << chassis << ' ' << in_a_line(*row) << '\n';
    }
    for (const state::Kind kind : listed)
        if (!by_kind.contains(kind))
            out << (columns > 0 ? "\n" : chassis + ' ') << state::to_word(kind)
                << ": the device lists none\n";
}

void print_doubts(std::ostream& out, const std::string& where, const state::Reading& reading) {
    for (const state::UnreadLine& line : reading.unread)
        out << where << ':' << line.line << ':' << line.column << ": not read: \""
            << legible(line.text).text << "\"; expected " << line.expected << '\n';
    for (const state::Remark& remark : reading.remarks)
        out << where << ':' << remark.at.line << ':' << remark.at.column << ": "
            << legible(remark.text).text << '\n';
}

nlohmann::json to_json(const state::Reading& reading) {
    nlohmann::json rows = nlohmann::json::array();
    for (const state::Row& row : reading.rows) {
        nlohmann::json facts = nlohmann::json::object();
        for (const auto& [attribute, fact] : row.facts)
            facts[std::string(state::to_word(attribute))] = {{"value", state::to_text(fact.value)},
                                                             {"line", fact.at.line},
                                                             {"column", fact.at.column}};
        rows.push_back({{"kind", state::to_word(row.kind)},
                        {"name", row.name},
                        {"line", row.at.line},
                        {"facts", facts}});
    }
    nlohmann::json unread = nlohmann::json::array();
    for (const state::UnreadLine& line : reading.unread)
        unread.push_back({{"line", line.line},
                          {"column", line.column},
                          {"text", line.text},
                          {"expected", line.expected}});
    nlohmann::json remarks = nlohmann::json::array();
    for (const state::Remark& remark : reading.remarks)
        remarks.push_back(
            {{"line", remark.at.line}, {"column", remark.at.column}, {"text", remark.text}});
    nlohmann::json set_aside = nlohmann::json::array();
    for (const state::SetAsideLine& line : reading.set_aside)
        set_aside.push_back({{"line", line.line}, {"why", line.why}});
    return {{"whole", reading.whole},
            {"rows", rows},
            {"unread", unread},
            {"remarks", remarks},
            {"set_aside", set_aside}};
}

nlohmann::json to_json(const std::vector<marked::MarkedLine>& lines) {
    nlohmann::json told = nlohmann::json::array();
    for (const marked::MarkedLine& line : lines) {
        nlohmann::json one = {
            {"line", line.number}, {"mark", marked::to_word(line.mark)}, {"text", line.text}};
        if (!line.ends_rows.empty())
            one["rows"] = line.ends_rows;
        told.push_back(std::move(one));
    }
    return told;
}

} // namespace slotwitness::program
