#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;
using testing::Not;

/// A profile with other lines of [reach], other words of its query, and more besides.
struct Parts {
    std::string reach{};
    std::string ask = "\"tell\"";
    std::string more{};
};

std::string profile_text(const Parts& parts) {
    return "[profile]\nformat = 1\nfamily = \"F\"\n[grammar]\nrules = '''\nprompt = \"> \"\n'''\n"
           "[reach]\n" +
           parts.reach + "[query.one]\nask = [" + parts.ask +
           "]\nkind = \"module\"\nlayout = \"record\"\n[query.one.record]\nlabels = [\"A\"]\n"
           "[query.one.cells]\n\"A\" = { as = \"name\" }\n" +
           parts.more;
}

std::string faults_in(const std::string& text) {
    const auto profile = parse_profile(text, "limits.toml");
    std::string faults;
    if (!profile)
        for (const state::Problem& problem : profile.error())
            faults += state::to_text(problem) + "\n";
    return faults;
}

std::string many(std::size_t count, const std::string& text) {
    std::string all;
    for (; count > 0; --count)
        all += text;
    return all;
}

/// What stands at the bound is read, and one more is refused.
void expect_bound(const Parts& last, const Parts& beyond, const std::string& fault) {
    EXPECT_EQ(faults_in(profile_text(last)), "");
    EXPECT_THAT(faults_in(profile_text(beyond)), HasSubstr(fault));
}

TEST(ProfileLimits, bound_what_is_asked) {
    Parts last;
    Parts beyond;
    last.ask = "\"a\"" + many(31, ", \"b\"");
    beyond.ask = "\"a\"" + many(32, ", \"b\"");
    expect_bound(last, beyond, "a list of 1 to 32 words");
    last.ask = "\"" + std::string(256, 'a') + "\"";
    beyond.ask = "\"" + std::string(257, 'a') + "\"";
    expect_bound(last, beyond, "a word of 1 to 256");
    const auto session_queries = [](const std::string& list) {
        Parts parts;
        parts.reach = "by = \"shell\"\nprompt = [\"prompt\"]\nsession-queries = [" + list + "]\n";
        return parts;
    };
    expect_bound(session_queries(many(8, "\"page off\", ")),
                 session_queries(many(9, "\"page off\", ")), "at most 8");
    expect_bound(session_queries("\"" + std::string(256, 'a') + "\""),
                 session_queries("\"" + std::string(257, 'a') + "\""), "parted by single blanks");
    last = beyond = {};
    last.reach = "longest-answer = \"64 MiB\"\n";
    beyond.reach = "longest-answer = " + std::to_string(64 * 1'048'576 + 1) + "\n";
    expect_bound(last, beyond, "longest-answer");
}

TEST(ProfileLimits, bound_faces_queries_and_the_whole_text) {
    Parts last;
    Parts beyond;
    last.more = "[face.rear]\nrows = [" + many(32, "[\"\"], ") + "]\n";
    beyond.more = "[face.rear]\nrows = [" + many(33, "[\"\"], ") + "]\n";
    expect_bound(last, beyond, "1 to 32 rows");
    last.more = "[face.rear]\nrows = [[" + many(64, "\"\", ") + "]]\n";
    beyond.more = "[face.rear]\nrows = [[" + many(65, "\"\", ") + "]]\n";
    expect_bound(last, beyond, "a list of 1 to 64 names");
    last.more.clear();
    for (int i = 1; i < 256; ++i)
        last.more += "[query.q" + std::to_string(i) +
                     "]\nask = [\"a\"]\nkind = \"module\"\nlayout = \"record\"\nname-is = \"x\"\n"
                     "record = { labels = [\"B\"] }\ncells = { B = { as = \"ignored\" } }\n";
    beyond.more = last.more + "[query.more]\nask = [\"a\"]\n";
    expect_bound(last, beyond, "1 to 256 queries");
    const std::string text = profile_text({});
    EXPECT_EQ(faults_in(text + std::string(1'000'000 - text.size(), '#')), "");
    EXPECT_THAT(faults_in(text + std::string(1'000'001 - text.size(), '#')),
                HasSubstr("at most 1000000 bytes"));
}

TEST(ProfileLimits, bound_on_how_many_files_a_profile_rests) {
    std::vector<ProfileFile> files;
    for (std::size_t i = 0; i < most_profile_files; ++i)
        files.push_back({std::to_string(i) + ".toml",
                         "[profile]\nbased-on = \"" + std::to_string(i + 1) + ".toml\"\n"});
    const auto profile = parse_profile(files);
    ASSERT_FALSE(profile);
    std::string faults;
    for (const state::Problem& problem : profile.error())
        faults += state::to_text(problem);
    EXPECT_THAT(faults, HasSubstr("at most 8"));
}

TEST(ProfileLimits, bound_what_a_problem_shows) {
    Parts long_word;
    long_word.ask = "\"" + std::string(200, ' ') + "\"";
    EXPECT_THAT(faults_in(profile_text(long_word)), HasSubstr("\"" + std::string(80, ' ') + "\""));
    EXPECT_THAT(faults_in(profile_text(long_word)), Not(HasSubstr(std::string(81, ' '))));
}

/// Each bound of the parsers, and the test that goes beyond it: its file, and its name or what it
/// says. How far the draft searches is no bound of what is read.
const std::map<std::string, std::string> tested_by{
    {"terminal/token.hpp longest_parameters",
     "terminal/grammar_test.cpp bounds_parameters_intermediates_and_strings"},
    {"terminal/token.hpp most_intermediates",
     "terminal/grammar_test.cpp bounds_parameters_intermediates_and_strings"},
    {"terminal/token.hpp longest_string",
     "terminal/grammar_test.cpp bounds_parameters_intermediates_and_strings"},
    {"terminal/clean.hpp longest_line",
     "terminal/lines_test.cpp longer_than_the_bound_are_not_executed"},
    {"terminal/clean.hpp widest_tab",
     "terminal/lines_test.cpp bound_the_width_of_tabs_and_of_what_they_make"},
    {"terminal/clean.cpp longest_shown",
     "terminal/lines_test.cpp longer_than_the_bound_are_not_executed"},
    {"layouts/sheet.hpp longest_line", "layouts/table_test.cpp lines_that_no_layout_reads_say_why"},
    {"layouts/sheet.hpp most_columns",
     "layouts/table_test.cpp without_columns_or_with_too_many_nothing_is_read"},
    {"layouts/json_tokens.hpp deepest_json", "layouts/json_test.cpp ends_at_its_bounds"},
    {"layouts/json_tokens.hpp most_json_members", "layouts/json_test.cpp ends_at_its_bounds"},
    {"layouts/xml_elements.hpp deepest_xml", "layouts/xml_grammar_test.cpp end_at_their_bounds"},
    {"layouts/xml_elements.hpp largest_xml", "layouts/xml_grammar_test.cpp end_at_their_bounds"},
    {"layouts/record.hpp most_levels",
     "layouts/record_shapes_test.cpp deeper_than_its_bound_is_unread"},
    {"layouts/free_text.cpp most_steps",
     "layouts/free_text_test.cpp what_is_beyond_the_budget_is_unread"},
    {"profiles/composed_names.cpp most_name_bytes",
     "profiles/read_test.cpp of_too_many_joined_names_each_may_be_named"},
    {"profiles/face_keys.cpp most_rows",
     "profiles/limits_test.cpp bound_faces_queries_and_the_whole_text"},
    {"profiles/face_keys.cpp longest_row",
     "profiles/limits_test.cpp bound_faces_queries_and_the_whole_text"},
    {"profiles/query.cpp most_words", "profiles/limits_test.cpp bound_what_is_asked"},
    {"profiles/query.cpp longest_word", "profiles/limits_test.cpp bound_what_is_asked"},
    {"profiles/profile.hpp most_profile_files",
     "profiles/limits_test.cpp bound_on_how_many_files_a_profile_rests"},
    {"profiles/toml.cpp largest_profile",
     "profiles/limits_test.cpp bound_faces_queries_and_the_whole_text"},
    {"profiles/toml.cpp most_queries",
     "profiles/limits_test.cpp bound_faces_queries_and_the_whole_text"},
    {"profiles/reach_keys.cpp largest_answer", "profiles/limits_test.cpp bound_what_is_asked"},
    {"profiles/reach_keys.cpp most_session_queries",
     "profiles/limits_test.cpp bound_what_is_asked"},
    {"profiles/reach_keys.cpp longest_session_query",
     "profiles/limits_test.cpp bound_what_is_asked"},
    {"abnf/limits.hpp longest_grammar", "abnf/reader_test.cpp ends_by_its_limits"},
    {"abnf/limits.hpp most_rules", "abnf/reader_test.cpp ends_by_its_limits"},
    {"abnf/limits.hpp deepest_groups", "abnf/reader_test.cpp ends_by_its_limits"},
    {"abnf/limits.hpp most_repeats", "abnf/reader_test.cpp refuses_what_is_no_abnf_with_its_place"},
    {"abnf/limits.hpp longest_text", "abnf/budget_test.cpp of_a_text_is_its_size"},
    {"abnf/limits.hpp most_marks", "abnf/budget_test.cpp ends_what_would_fill_memory"},
    {"abnf/limits.hpp most_steps_to_explain",
     "abnf/budget_test.cpp ends_readings_that_are_too_many"},
    {"abnf/explain.cpp most_told", "abnf/matcher_test.cpp or one of 2 others"},
    {"shell/console.cpp longest_line",
     "shell/console_test.cpp of_a_line_beyond_its_bound_the_rest_is_not_kept"},
    {"shell/console.hpp longest_prompt",
     "shell/console_test.cpp a_prompt_beyond_its_bound_is_none"},
    {"shell/dialogue.hpp longest_login", "shell/dialogue_test.cpp a_banner_without_end_is_told"},
    {"sentences/sentence.hpp longest_sentence",
     "sentences/hostile_tests.cpp reads_the_longest_sentence_and_refuses_one_byte_more"},
    {"sentences/sentence.hpp deepest_nesting",
     "sentences/hostile_tests.cpp reads_the_deepest_nesting_and_refuses_one_more_at_its_place"},
    {"netconf/framing.cpp most_digits",
     "netconf/framing_test.cpp what_is_no_chunk_ends_the_stream"},
    {"netconf/framing.cpp largest_chunk",
     "netconf/framing_test.cpp the_largest_chunk_is_waited_for"},
    {"keys/problems.cpp longest_shown", "profiles/limits_test.cpp bound_what_a_problem_shows"},
    {"readback/code_book.hpp most_decisions",
     "readback/code_book_test.cpp numbered(most_decisions"},
    {"procedures/argument.hpp longest_argument", "procedures/arguments_test.cpp at most 200 bytes"},
};

std::string contents(const std::filesystem::path& path) {
    std::ifstream in{path, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// "ROOM/FILE NAME" of each constant of the parsers whose name says that it is a bound.
std::set<std::string> bounds_of_parsers() {
    const std::filesystem::path parsers =
        std::filesystem::path{SLOTWITNESS_TESTS}.parent_path() / "parsers";
    std::set<std::string> found;
    for (const auto& entry : std::filesystem::recursive_directory_iterator{parsers}) {
        const auto extension = entry.path().extension();
        if ((extension != ".hpp" && extension != ".cpp") ||
            entry.path().parent_path().filename() == "draft")
            continue;
        std::ifstream in{entry.path()};
        for (std::string line; std::getline(in, line);) {
            const auto type = line.find("constexpr std::");
            if (type != 0 && line.substr(0, type) != "inline ")
                continue;
            const auto name = line.find("_t ");
            if (name == std::string::npos)
                continue;
            const std::string rest = line.substr(name + 3);
            for (const char* begin : {"most_", "longest_", "deepest_", "widest_", "largest_"})
                if (rest.starts_with(begin))
                    found.insert(std::filesystem::relative(entry.path(), parsers).generic_string() +
                                 " " + rest.substr(0, rest.find_first_of(" =;{")));
        }
    }
    return found;
}

TEST(Limits, each_has_a_test_that_goes_beyond_it) {
    const std::set<std::string> bounds = bounds_of_parsers();
    EXPECT_GT(bounds.size(), 30U);
    for (const std::string& bound : bounds)
        EXPECT_TRUE(tested_by.contains(bound)) << bound << " is in no test of this list";
    for (const auto& [bound, test] : tested_by) {
        EXPECT_TRUE(bounds.contains(bound)) << bound << " is no more";
        const auto parted = test.find(' ');
        const std::string file =
            contents(std::filesystem::path{SLOTWITNESS_TESTS} / test.substr(0, parted));
        EXPECT_THAT(file, HasSubstr(test.substr(parted + 1))) << bound;
    }
}

} // namespace
} // namespace slotwitness::profiles
