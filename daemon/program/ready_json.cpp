#include "print_ready.hpp"

#include <nlohmann/json.hpp>

namespace slotwitness::program {

namespace {

nlohmann::json json_of(const std::vector<witness::Cite>& cites) {
    nlohmann::json all = nlohmann::json::array();
    for (const witness::Cite& cite : cites)
        all.push_back({{"asking", cite.asking},
                       {"line", cite.at.line},
                       {"column", cite.at.column},
                       {"text", cite.text}});
    return all;
}

nlohmann::json json_of(const std::vector<ready::Judged>& judged) {
    nlohmann::json all = nlohmann::json::array();
    for (const ready::Judged& each : judged)
        all.push_back({{"condition", each.condition},
                       {"of", each.of},
                       {"truth", witness::to_word(each.judgement.truth)},
                       {"because",
                        {{"reason", witness::to_word(each.judgement.because.reason)},
                         {"text", each.judgement.because.text},
                         {"cites", json_of(each.judgement.because.cites)}}}});
    return all;
}

nlohmann::json json_of(const ready::Tried& tried) {
    nlohmann::json told = {{"query", tried.asking},
                           {"request", tried.request},
                           {"took_ms", tried.took.count()},
                           {"answered", false}};
    if (const auto* answer = std::get_if<ready::Answer>(&tried.came))
        told.update({{"answered", true},
                     {"whole", answer->ending.complete()},
                     {"rows", answer->reading->rows.size()},
                     {"unread", answer->reading->unread.size()}});
    return told;
}

} // namespace

nlohmann::json ready_json(const ready::Work& work, const ready::Look& look,
                          const ready::Report& report) {
    nlohmann::json findings = nlohmann::json::array();
    for (const ready::Finding& finding : report.findings)
        findings.push_back({{"weight", ready::to_word(finding.weight)},
                            {"about", finding.about},
                            {"says", finding.says},
                            {"remedy", finding.remedy},
                            {"needed_by", finding.needed_by},
                            {"cites", json_of(finding.cites)}});
    nlohmann::json queries = nlohmann::json::array();
    for (const ready::Tried& tried : look.tried)
        queries.push_back(json_of(tried));
    return {{"chassis", work.chassis.name},
            {"procedure", work.procedure.procedure.title},
            {"at", units::to_rfc3339(look.at)},
            {"holds_up", report.count(ready::Weight::holds_up)},
            {"advice", report.count(ready::Weight::advice)},
            {"findings", findings},
            {"queries", queries},
            {"now", json_of(report.now)},
            {"later", json_of(report.later)},
            {"cannot_see", report.cannot_see}};
}

} // namespace slotwitness::program
