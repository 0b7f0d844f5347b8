#include <slotwitness/log/log.hpp>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace slotwitness::log {
namespace {

using testing::AllOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::IsEmpty;

constexpr std::int64_t noon = 1'795'608'000'250; // 2026-11-25T12:00:00.250Z, as date(1) says

TEST(log, a_line_for_programs_is_one_object_with_its_members_in_order) {
    EXPECT_EQ(json_line(noon, Level::info, Event::session,
                        {"edge-7", {{"session", std::string("ready")}, {"attempt", 3}}},
                        "router session ready"),
              R"({"time":"2026-11-25T12:00:00.250Z","level":"info","event":"session",)"
              R"("chassis":"edge-7","session":"ready","attempt":3,"text":"router session ready"})");
}

TEST(log, whatever_stands_in_a_text_the_line_stays_one_object) {
    const std::string text = "\"},\n{\"event\":\"x\x1b[2J\xff\"";
    const std::string line = json_line(noon, Level::error, Event::journal, {}, text);
    EXPECT_EQ(line.find('\n'), std::string::npos);
    EXPECT_EQ(line.find('\x1b'), std::string::npos);
    const auto read = nlohmann::json::parse(line);
    EXPECT_EQ(read["event"], "journal");
    EXPECT_FALSE(read.contains("chassis"));
    EXPECT_THAT(read["text"].get<std::string>(), HasSubstr("{\"event\":\"x"));
}

std::string told(Form form, Level level) {
    begin(form);
    testing::internal::CaptureStderr();
    tell(level, Event::journal, {"edge-7", {}}, "100 % {} full");
    return testing::internal::GetCapturedStderr();
}

TEST(log, tells_people_which_chassis_it_is_about) {
    EXPECT_THAT(told(Form::text, Level::error),
                AllOf(HasSubstr("[error] edge-7: 100 % {} full"), EndsWith("\n")));
}

TEST(log, tells_programs_the_same_and_nothing_else) {
    const auto line = nlohmann::json::parse(told(Form::json, Level::warning));
    EXPECT_EQ(line["level"], "warning");
    EXPECT_EQ(line["chassis"], "edge-7");
    EXPECT_EQ(line["text"], "100 % {} full");
}

TEST(log, tells_warnings_alone_where_that_is_wanted) {
    begin(Form::text);
    tell_warnings_alone();
    testing::internal::CaptureStderr();
    tell(Level::info, Event::session, {}, "quiet");
    EXPECT_THAT(testing::internal::GetCapturedStderr(), IsEmpty());
    EXPECT_THAT(told(Form::text, Level::info), HasSubstr("full")) << "a new beginning tells all";
}

// A line that went past this room would be no JSON.
TEST(log, no_other_room_speaks_to_the_logging_library) {
    const std::filesystem::path top = std::filesystem::path(SLOTWITNESS_TESTS).parent_path();
    std::size_t read = 0;
    for (const char* folder : {"api", "daemon", "parsers"})
        for (const auto& entry : std::filesystem::recursive_directory_iterator(top / folder)) {
            if (entry.path().extension() != ".cpp" && entry.path().extension() != ".hpp")
                continue;
            std::ifstream file(entry.path());
            const std::string text{std::istreambuf_iterator<char>(file), {}};
            ++read;
            const bool is_here = entry.path().parent_path().filename() == "log";
            EXPECT_TRUE(is_here || text.find("spdlog") == std::string::npos) << entry.path();
        }
    EXPECT_GT(read, 100U);
}

} // namespace
} // namespace slotwitness::log
