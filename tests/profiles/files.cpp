#include "files.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <sstream>

namespace slotwitness::profiles {

std::string fixture(const std::filesystem::path& path) {
    std::ifstream in{std::filesystem::path{SLOTWITNESS_FIXTURES} / path, std::ios::binary};
    EXPECT_TRUE(in.is_open()) << path;
    return {std::istreambuf_iterator<char>{in}, {}};
}

Profile profile_of(const std::filesystem::path& path) {
    auto profile = parse_profile(fixture(path), path.string());
    if (profile)
        return std::move(*profile);
    for (const state::Problem& problem : profile.error())
        ADD_FAILURE() << state::to_text(problem);
    return {};
}

std::string to_text(const state::Reading& reading) {
    std::ostringstream out;
    const auto place = [](state::Position at) {
        return std::to_string(at.line) + ":" + std::to_string(at.column);
    };
    for (const state::Kind kind : reading.lists)
        out << "lists " << to_word(kind) << '\n';
    for (const state::Row& row : reading.rows) {
        out << place(row.at) << ' ' << to_word(row.kind) << ' ' << row.name << '\n';
        for (const auto& [attribute, fact] : row.facts)
            out << "  " << place(fact.at) << ' ' << to_word(attribute) << ": "
                << state::to_text(fact.value)
                << (std::holds_alternative<state::Unknown>(fact.value) ? " (not told)" : "")
                << '\n';
    }
    for (const state::UnreadLine& line : reading.unread)
        out << "unread " << line.line << ':' << line.column << " expected " << line.expected
            << '\n';
    for (const state::Remark& remark : reading.remarks)
        out << "remark " << place(remark.at) << ' ' << remark.text << '\n';
    return out.str();
}

} // namespace slotwitness::profiles
