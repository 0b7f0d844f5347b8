#include "bench.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <stdexcept>

namespace slotwitness::ready::test {

namespace {

std::string text_of(const std::string& path) {
    std::ifstream stream(path);
    if (!stream)
        throw std::runtime_error("cannot read " + path);
    return {std::istreambuf_iterator<char>(stream), {}};
}

template <class Value>
Value value_or_throw(tl::expected<Value, std::vector<state::Problem>> read) {
    if (!read)
        throw std::runtime_error(state::to_text(read.error().front()));
    return std::move(*read);
}

void rewrite(std::string& text, const std::string& old, const std::string& other) {
    const std::size_t at = text.find(old);
    if (at == std::string::npos)
        throw std::runtime_error("not there: " + old);
    text.replace(at, old.size(), other);
}

const std::string family = SLOTWITNESS_FIXTURES "/quillon";

} // namespace

Bench::Bench(const std::string& procedure)
    : arguments{{"module", "FAB3"},
                {"planes", "3, 4"},
                {"other-planes", "1, 2, 5, 6"},
                {"tray", "TRAY2"},
                {"spare", "QL40100099"},
                {"spare-part", "QF-32-2"},
                {"spare-revision", "R4"},
                {"ejector-torque", "0.9 N·m by handbook 4-2"},
                {"margin", "10 % by capacity plan 3"},
                {"cooling-limit", "10 min by site rule 7"},
                {"swap-time", "3 min by rehearsal 8"},
                {"warming-sensors", "FAB4-core"},
                {"sensor-limit", "92 C by handbook 6-1"}},
      peak_load(units::Decimal::of(9, 12)), profile_text_(text_of(family + "/profile.toml")),
      procedure_text_(text_of(family + "/procedures/" + procedure + ".toml")),
      device_(chassis::Fitting(), chassis::Time(2'000)) {
    add_to_profile("\n[proven-for]\nquery = \"chassis\"\nfrom = \"Quillon 7.2\"\n"
                   "to = \"Quillon 7.3\"\n");
}

void Bench::rewrite_profile(const std::string& old, const std::string& other) {
    rewrite(profile_text_, old, other);
}

void Bench::rewrite_procedure(const std::string& old, const std::string& other) {
    rewrite(procedure_text_, old, other);
}

void Bench::order(const std::string& line) {
    ASSERT_EQ(device_.obey(line, now_).reply, R"({"done":true})") << line;
    now_ += chassis::Time(60'000);
}

Tried Bench::ask(const profiles::Profile& profile, const profiles::Asking& asking) {
    const std::string request = profiles::request_bytes(profile, asking).value();
    chassis::Delivery delivery{"", "", 0};
    if (const auto given = answers_.find(request); given != answers_.end())
        delivery.out = given->second;
    else
        delivery = device_.ask(request, now_);
    if (delivery.drops)
        return {asking.key(), request, took,
                witness::Silent{asking.key(), witness::NoAnswer::session_lost, "it dropped"}};
    const witness::Ending ending{delivery.status.has_value(), delivery.status,
                                 delivery.status == 0 ? "" : "not all of it came"};
    auto reading = std::make_shared<const state::Reading>(
        profiles::read(profile, asking, delivery.out, ending.complete()));
    return {asking.key(), request, took, Answer{ending, std::move(reading)}};
}

Report Bench::check() {
    const auto profile = value_or_throw(profiles::parse_profile(profile_text_, "profile.toml"));
    const auto procedure =
        value_or_throw(procedures::parse_procedure({"procedure.toml", procedure_text_}));
    procedures::Arguments given;
    for (const auto& [name, parameter] : procedure.parameters)
        given[name] = arguments.at(name);
    const auto filled = value_or_throw(procedures::fill_procedure(procedure, given));
    const Work work{
        filled,
        {"edge-7", profile, pace, serial, allow_unproven, inventory, peak_load, in_band, budget},
        site};
    Look look{units::Instant(units::Duration(1'000'000)), units::Duration(40), {}, {}};
    for (const profiles::Asking& asking : askings(profile, filled)) {
        look.tried.push_back(ask(profile, asking));
        const auto* silent = std::get_if<witness::Silent>(&look.tried.back().came);
        if (silent != nullptr && silent->why == witness::NoAnswer::session_lost)
            break;
    }
    spoil(look);
    return ready::check(work, look);
}

std::vector<std::string> told(const Report& report, Weight weight) {
    std::vector<std::string> texts;
    for (const Finding& finding : report.findings)
        if (finding.weight == weight)
            texts.push_back(finding.about + ": " + finding.says + " Do: " + finding.remedy);
    return texts;
}

Finding about(const Report& report, const std::string& what) {
    std::vector<Finding> found;
    for (const Finding& finding : report.findings)
        if (finding.about == what)
            found.push_back(finding);
    EXPECT_EQ(found.size(), 1U) << what << " in "
                                << testing::PrintToString(told(report, Weight::holds_up)) << " "
                                << testing::PrintToString(told(report, Weight::advice));
    return found.empty() ? Finding{} : found.front();
}

} // namespace slotwitness::ready::test
