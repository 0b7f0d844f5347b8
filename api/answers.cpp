#include "answers.hpp"

#include "chassis.hpp"
#include "problem.hpp"
#include "shown.hpp"

#include <slotwitness/marked/legible.hpp>
#include <slotwitness/marked/marked.hpp>
#include <slotwitness/units/time.hpp>

#include <algorithm>
#include <map>

namespace slotwitness::api {

namespace {

using nlohmann::json;

/// A fact, and where in its line it stands: `column` in bytes from 1, `place` in characters of the
/// text as shown, from 0.
struct Printed {
    const state::Row* row;
    state::Attribute attribute;
    const state::Fact* fact;
};

std::multimap<std::size_t, Printed> by_line(const state::Reading& reading) {
    std::multimap<std::size_t, Printed> facts;
    for (const state::Row& row : reading.rows)
        for (const auto& [attribute, fact] : row.facts)
            facts.insert({fact.at.line, {&row, attribute, &fact}});
    return facts;
}

json to_json(const Printed& printed, std::string_view line) {
    return {{"kind", state::to_word(printed.row->kind)},
            {"name", printed.row->name},
            {"attribute", state::to_word(printed.attribute)},
            {"value", marked::legible(state::to_text(printed.fact->value)).text},
            {"column", printed.fact->at.column},
            {"place", marked::place_of(line, printed.fact->at.column)}};
}

json to_json(const std::vector<marked::Note>& notes, std::string_view line) {
    json all = json::array();
    for (const marked::Note& note : notes)
        all.push_back({{"column", note.column},
                       {"place", marked::place_of(line, note.column)},
                       {"text", marked::legible(note.text).text}});
    return all;
}

json lines_of(const desk::AnswerView& view) {
    const auto facts = by_line(*view.reading);
    json lines = json::array();
    for (const marked::MarkedLine& line : marked::mark_lines(*view.bytes, *view.reading)) {
        json one{{"number", line.number},
                 {"text", marked::legible(line.text).text},
                 {"mark", marked::to_word(line.mark)},
                 {"why", line.why},
                 {"expected", to_json(line.expected, line.text)},
                 {"remarks", to_json(line.remarks, line.text)},
                 {"facts", json::array()},
                 {"rows", json::array()}};
        const auto [first, last] = facts.equal_range(line.number);
        for (auto fact = first; fact != last; ++fact)
            one["facts"].push_back(to_json(fact->second, line.text));
        for (const std::size_t place : line.ends_rows) {
            const state::Row& row = view.reading->rows[place];
            one["rows"].push_back({{"kind", state::to_word(row.kind)}, {"name", row.name}});
        }
        lines.push_back(std::move(one));
    }
    return lines;
}

json summary(const desk::AnswerView& view) {
    return {{"asking", view.asking},
            {"asked", units::to_rfc3339(view.asked)},
            {"answered", units::to_rfc3339(view.answered)},
            {"capture", view.capture},
            {"whole", view.ending.whole() && view.reading->whole},
            {"remark", view.ending.remark},
            {"rows", view.reading->rows.size()},
            {"unread", view.reading->unread.size()}};
}

/// "unread   12  !! table busy": one line a line.
std::string text_of(const desk::AnswerView& view) {
    std::string text;
    for (const marked::MarkedLine& line : marked::mark_lines(*view.bytes, *view.reading)) {
        std::string begin{marked::to_word(line.mark)};
        const std::string number = std::to_string(line.number);
        begin.resize(6, ' ');
        begin.append(number.size() < 6 ? 6 - number.size() : 0, ' ').append(number);
        text += begin + "  " + marked::legible(line.text).text + '\n';
    }
    return text;
}

EntityTag tag_of(const desk::AnswerView& view) {
    return {view.capture.substr(0, 16) + "." + units::to_rfc3339(view.answered), true};
}

Response no_such_asking(const Request& request, const std::string& asking,
                        const std::vector<desk::AnswerView>& answers) {
    ProblemDetails problem;
    problem.status = 404;
    problem.detail = "No answer to such a query has come since the daemon began.";
    problem.field = "asking";
    problem.found = asking;
    for (const desk::AnswerView& view : answers)
        problem.expected += (problem.expected.empty() ? "one of " : ", ") + view.asking;
    problem.remedy = "GET the list of answers; the next look may bring it.";
    return to_response(problem, request.path);
}

} // namespace

Next get_answers(const Request& request, const Places& places, const desk::Desk& desk) {
    const auto answers = desk.answers(places.front());
    if (!answers)
        return no_such_chassis(request, places.front(), desk);
    json all = json::array();
    for (const desk::AnswerView& view : *answers)
        all.push_back(summary(view));
    return json_response({{"chassis", places.front()}, {"answers", std::move(all)}});
}

Next get_answer(const Request& request, const Places& places, const desk::Desk& desk) {
    const auto answers = desk.answers(places.front());
    if (!answers)
        return no_such_chassis(request, places.front(), desk);
    const auto view = std::ranges::find(*answers, places.back(), &desk::AnswerView::asking);
    if (view == answers->end())
        return no_such_asking(request, places.back(), *answers);
    return conditional(
        request, tag_of(*view),
        [&] {
            json out = summary(*view);
            out["chassis"] = places.front();
            out["lines"] = lines_of(*view);
            return to_body(out);
        },
        [&] { return text_of(*view); });
}

} // namespace slotwitness::api
