#include "files.hpp"

#include <gtest/gtest.h>

#include <algorithm>
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
    std::vector<ProfileFile> files{{path.string(), fixture(path)}};
    while (const auto base = based_on(files.back().text)) {
        const std::filesystem::path beside = path.parent_path() / *base;
        files.push_back({beside.string(), fixture(beside)});
    }
    auto profile = parse_profile(files);
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
    for (const state::SetAsideLine& line : reading.set_aside)
        out << "set aside " << line.line << ": " << line.why << '\n';
    return out.str();
}

namespace {

/// The query whose answer this is: "modules-cut" answers "modules".
std::string query_of(const Profile& profile, const std::string& stem) {
    std::string found;
    for (const auto& [id, query] : profile.queries)
        if ((stem == id || stem.starts_with(id + "-")) && id.size() > found.size())
            found = id;
    EXPECT_FALSE(found.empty()) << stem;
    return found;
}

} // namespace

std::vector<Fixture> fixtures_of(const std::string& family) {
    namespace fs = std::filesystem;
    const Profile profile = profile_of(family + "/profile.toml");
    std::vector<Fixture> all;
    for (const auto& entry :
         fs::recursive_directory_iterator(fs::path{SLOTWITNESS_FIXTURES} / family)) {
        if (entry.path().extension() != ".txt")
            continue;
        const std::string stem = entry.path().stem();
        const std::string folder = entry.path().parent_path().filename();
        all.push_back({family, folder, stem, query_of(profile, stem), !stem.ends_with("-cut")});
    }
    std::sort(all.begin(), all.end());
    EXPECT_FALSE(all.empty()) << family;
    return all;
}

} // namespace slotwitness::profiles
