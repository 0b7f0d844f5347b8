#include "compare.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <map>
#include <optional>
#include <tuple>
#include <utility>

namespace slotwitness::pack {

namespace {

using nlohmann::json;
using What = Change::What;

state::Position position(const json& at) {
    return {at.at("line").get<std::size_t>(), at.at("column").get<std::size_t>()};
}

std::string place(const state::Position& at) {
    return "line " + std::to_string(at.line) + ", column " + std::to_string(at.column);
}

std::string in_words(const json& value) {
    if (value.is_null())
        return "unknown";
    if (value.contains("word"))
        return value.at("word").get<std::string>();
    if (value.contains("text"))
        return "\"" + value.at("text").get<std::string>() + "\"";
    if (value.contains("quantity")) {
        const std::string unit = value.at("unit").get<std::string>();
        return value.at("quantity").get<std::string>() + (unit.empty() ? "" : " " + unit);
    }
    std::string names;
    for (const json& name : value.at("names"))
        names += (names.empty() ? "" : ", ") + name.get<std::string>();
    return "[" + names + "]";
}

/// Rows of one component are told apart by their order.
using RowKey = std::pair<std::string, std::size_t>;

std::map<RowKey, const json*> rows_of(const json& reading) {
    std::map<std::string, std::size_t> seen;
    std::map<RowKey, const json*> rows;
    for (const json& row : reading.at("rows")) {
        const std::string component =
            row.at("kind").get<std::string>() + " " + row.at("name").get<std::string>();
        rows.emplace(RowKey{component, seen[component]++}, &row);
    }
    return rows;
}

class Comparer {
  public:
    std::vector<Change> compare(const json& then, const json& now) && {
        const auto flag = [](const json& reading) {
            return reading.at("whole").get<bool>() ? "whole" : "not whole";
        };
        if (flag(then) != std::string(flag(now)))
            changes_.push_back({What::whole, {}, "", "", flag(then), flag(now)});
        if (then.at("lists") != now.at("lists"))
            changes_.push_back(
                {What::lists, {}, "", "", then.at("lists").dump(), now.at("lists").dump()});
        compare_rows(rows_of(then), rows_of(now));
        compare_unread(then.at("unread"), now.at("unread"));
        compare_remarks(then.at("remarks"), now.at("remarks"));
        std::stable_sort(changes_.begin(), changes_.end(),
                         [](const Change& a, const Change& b) { return a.at < b.at; });
        return std::move(changes_);
    }

  private:
    void compare_rows(const std::map<RowKey, const json*>& then,
                      const std::map<RowKey, const json*>& now) {
        for (const auto& [key, row] : then)
            if (const auto other = now.find(key); other == now.end())
                changes_.push_back({What::row_gone, position(row->at("at")), key.first, "",
                                    row->at("text").get<std::string>(), ""});
            else
                compare_row(key.first, *row, *other->second);
        for (const auto& [key, row] : now)
            if (!then.contains(key))
                changes_.push_back({What::row_new, position(row->at("at")), key.first, "", "",
                                    row->at("text").get<std::string>()});
    }

    void compare_row(const std::string& component, const json& then, const json& now) {
        const json& before = then.at("facts");
        const json& after = now.at("facts");
        for (const auto& [attribute, fact] : before.items())
            if (const auto other = after.find(attribute); other == after.end())
                changes_.push_back({What::fact, position(fact.at("at")), component, attribute,
                                    in_words(fact.at("value")), ""});
            else
                compare_fact(component, attribute, fact, *other);
        for (const auto& [attribute, fact] : after.items())
            if (!before.contains(attribute))
                changes_.push_back({What::fact, position(fact.at("at")), component, attribute, "",
                                    in_words(fact.at("value"))});
        if (then.at("text") != now.at("text") || then.at("at") != now.at("at"))
            changes_.push_back({What::wording, position(now.at("at")), component, "",
                                then.at("text").get<std::string>(),
                                now.at("text").get<std::string>()});
    }

    void compare_fact(const std::string& component, const std::string& attribute, const json& then,
                      const json& now) {
        const state::Position was = position(then.at("at"));
        const state::Position is = position(now.at("at"));
        const bool same_value = then.at("value") == now.at("value");
        if (same_value && was == is)
            return;
        std::string from = in_words(then.at("value"));
        std::string to = in_words(now.at("value"));
        if (same_value) {
            from += " from " + place(was);
            to += " from " + place(is);
        }
        changes_.push_back({What::fact, is, component, attribute, std::move(from), std::move(to)});
    }

    void compare_unread(const json& then, const json& now) {
        const auto by_line = [](const json& lines) {
            std::multimap<std::size_t, const json*> found;
            for (const json& line : lines)
                found.emplace(line.at("line").get<std::size_t>(), &line);
            return found;
        };
        auto before = by_line(then);
        for (const auto& [number, line] : by_line(now)) {
            const state::Position at{number, line->at("column").get<std::size_t>()};
            std::string expected = line->at("expected").get<std::string>();
            if (const auto other = before.find(number); other == before.end()) {
                changes_.push_back({What::unread_new, at, "", "", "", std::move(expected)});
            } else {
                if (*other->second != *line)
                    changes_.push_back({What::wording, at, "", "",
                                        other->second->at("expected").get<std::string>(),
                                        std::move(expected)});
                before.erase(other);
            }
        }
        for (const auto& [number, line] : before)
            changes_.push_back({What::unread_gone,
                                {number, line->at("column").get<std::size_t>()},
                                "",
                                "",
                                line->at("expected").get<std::string>(),
                                ""});
    }

    void compare_remarks(const json& then, const json& now) {
        const auto all = [](const json& remarks) {
            std::multimap<std::tuple<std::size_t, std::size_t, std::string>, int> found;
            for (const json& remark : remarks) {
                const state::Position at = position(remark.at("at"));
                found.insert({{at.line, at.column, remark.at("text").get<std::string>()}, 0});
            }
            return found;
        };
        auto before = all(then);
        for (const auto& [key, nothing] : all(now)) {
            if (const auto other = before.find(key); other != before.end())
                before.erase(other);
            else
                changes_.push_back({What::remark_new,
                                    {std::get<0>(key), std::get<1>(key)},
                                    "",
                                    "",
                                    "",
                                    std::get<2>(key)});
        }
        for (const auto& [key, nothing] : before)
            changes_.push_back({What::remark_gone,
                                {std::get<0>(key), std::get<1>(key)},
                                "",
                                "",
                                std::get<2>(key),
                                ""});
    }

    std::vector<Change> changes_;
};

std::string or_not_told(const std::string& value) {
    return value.empty() ? "not told" : value;
}

} // namespace

std::string_view to_word(Change::What what) {
    switch (what) {
    case What::row_new:
        return "row.new";
    case What::row_gone:
        return "row.gone";
    case What::fact:
        return "fact";
    case What::unread_new:
        return "unread.new";
    case What::unread_gone:
        return "unread.gone";
    case What::remark_new:
        return "remark.new";
    case What::remark_gone:
        return "remark.gone";
    case What::whole:
        return "whole";
    case What::lists:
        return "lists";
    case What::wording:
        return "wording";
    case What::query:
        return "query";
    }
    __builtin_unreachable();
}

std::string to_text(const Change& change) {
    const std::string from_to =
        "was " + or_not_told(change.from) + ", is now " + or_not_told(change.to);
    switch (change.what) {
    case What::row_new:
        return change.component + " is a new row";
    case What::row_gone:
        return change.component + " is no row any more";
    case What::fact:
        return change.component + ": " + change.attribute + " " + from_to;
    case What::unread_new:
        return "no longer read; expected " + change.to;
    case What::unread_gone:
        return "was not read, and is now; then expected " + change.from;
    case What::remark_new:
        return "new remark: " + change.to;
    case What::remark_gone:
        return "no more remark: " + change.from;
    case What::whole:
        return "the answer " + from_to;
    case What::lists:
        return "what the answer lists " + from_to;
    case What::wording:
        return (change.component.empty() ? "what is expected " : change.component + ": its text ") +
               from_to;
    case What::query:
        return change.to;
    }
    __builtin_unreachable();
}

tl::expected<std::vector<Change>, std::string> compare(const json& then, const json& now) {
    try {
        return Comparer{}.compare(then, now);
    } catch (const json::exception& error) {
        return tl::unexpected(std::string("it is no reading: ") + error.what());
    }
}

} // namespace slotwitness::pack
