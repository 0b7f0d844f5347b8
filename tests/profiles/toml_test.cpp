#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include <string>
#include <vector>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

constexpr std::string_view good = R"([profile]
format = 1
family = "Test"
identity = "frame"
[reach]
parallel = 2
timeout = "15 s"
longest-answer = "64 KB"
[words.state]
up = "oper enabled"
shut = "admin locked, oper disabled"
[parameters.slot]
characters = "ABC123"
longest = 4
[query.planes]
ask = ["tell", "planes"]
refresh = "2 s"
kind = "plane"
lists = true
layout = "table"
[query.planes.table]
edges = "rule"
columns = ["PLANE", "STATE", "FAULTS"]
right-aligned = ["FAULTS"]
wraps = true
pass-over = ["-- more --"]
empty = ["None."]
[query.planes.cells]
"PLANE" = { as = "name", until = "@" }
"STATE" = { as = "word", words = "state" }
"FAULTS" = { as = "quantity", attribute = "errors", required = false, empty = ["-"] }
[query.frame]
ask = ["show", "-x", "frame"]
kind = "chassis"
layout = "record"
name-is = "frame"
[query.frame.record]
separator = "="
labels = ["Serial"]
[query.frame.cells]
"Serial" = { as = "text", attribute = "serial" }
[query.slot]
ask = ["tell", { parameter = "slot" }]
kind = "module"
layout = "record"
[query.slot.record]
heading = "Slot"
labels = ["Rate"]
[query.slot.cells]
"Slot" = { as = "name" }
"Rate" = { as = "quantity", attribute = "capacity", unit = "Gb/s" }
)";

std::vector<std::string> problems_of(std::string_view text) {
    std::vector<std::string> texts;
    const auto profile = parse_profile(text, "p.toml");
    if (!profile)
        for (const state::Problem& problem : profile.error())
            texts.push_back(state::to_text(problem));
    return texts;
}

std::string with(std::string_view before, std::string_view after) {
    std::string text{good};
    const std::size_t at = text.find(before);
    EXPECT_NE(at, std::string::npos) << before;
    return text.replace(at, before.size(), after);
}

TEST(Profile, without_fault_is_read) {
    EXPECT_THAT(problems_of(good), IsEmpty());
    const auto profile = parse_profile(good, "p.toml");
    ASSERT_TRUE(profile);
    EXPECT_EQ(profile->reach.parallel, 2U);
    EXPECT_EQ(profile->reach.longest_answer, 64'000U);
    EXPECT_EQ(profile->words.at("state").at("shut").size(), 2U);
    EXPECT_EQ(profile->queries.at("frame").name_is, "frame");
    EXPECT_EQ(std::get<layouts::RecordSpec>(profile->queries.at("frame").layout).separator,
              layouts::RecordSpec::Separator::equals);
    EXPECT_EQ(profile->queries.at("planes").cells.at("PLANE").until, "@");
    EXPECT_EQ(profile->queries.at("planes").cells.at("FAULTS").empty,
              std::vector<std::string>{"-"});
    EXPECT_EQ(profile->queries.at("slot").cells.at("Rate").unit, "Gb/s");
}

struct Fault {
    const char* before;
    const char* after;
    const char* problem; ///< one that must be among those told
};

// One fault a line, in the order of the schema.
const std::vector<Fault> faults{
    {"format = 1", "format = 2", "p.toml:2:10: found \"2\", expected a whole number from 1 to 1"},
    {"format = 1\n", "",
     "p.toml:1:1: expected the key \"format\" in [profile]; Add for example: format = 1."},
    {"family = \"Test\"\n", "", "expected the key \"family\" in [profile]"},
    {"family = \"Test\"", "family = \"\"", "expected a name for the device family"},
    {"family = \"Test\"", "family = 7",
     "p.toml:3:10: found \"7\", expected a text in double quotes"},
    {"identity = \"frame\"", "identity = \"frme\"",
     "expected the id of a query; Did you mean \"frame\"?"},
    {"identity = \"frame\"", "identity = \"planes\"",
     "a query of kind \"chassis\" without parameters that reads the serial"},
    {"parallel = 2", "parallel = 0", "expected a whole number from 1 to 16"},
    {"parallel = 2", "paralel = 2",
     "found \"paralel\", expected in [reach] one of by, longest-answer, parallel, timeout; Did you "
     "mean \"parallel\"?"},
    {"\"15 s\"", "\"15\"", "expected a duration from 100 ms to 10 min"},
    {"\"15 s\"", "15", "expected a duration"},
    {"\"64 KB\"", "\"64 GB\"", "expected a size from 1000 to 67108864 bytes"},
    {"\"64 KB\"", "12", "expected a size"},
    {"\"64 KB\"", "\"99999999999999999999 MB\"", "expected a size"},
    {"[reach]", "[reech]",
     "found \"reech\", expected in the profile one of face, grammar, parameters, profile, "
     "proven-for, "
     "query, "
     "reach, refusals, stated, terminal, words; "
     "Did you mean \"reach\"?"},
    {"\"oper enabled\"", "\"opre enabled\"",
     "found \"opre\", expected one of admin, oper, usage, standby, alarm, severity, sensor-status; "
     "Did you mean \"oper\"?"},
    {"\"oper enabled\"", "\"oper enabeld\"",
     "found \"enabeld\", expected after \"oper\" one of unknown, disabled, enabled, testing; Did "
     "you mean \"enabled\"?"},
    {"\"oper enabled\"", "\"oper\"", "expected after \"oper\""},
    {"\"oper enabled\"", "\"serial X\"", "found \"serial\", expected one of admin"},
    {"\"oper enabled\"", "\"\"", "expected one of admin"},
    {"\"oper enabled\"", "true", "found \"true\", expected what the word means"},
    {"\"admin locked, oper disabled\"", "\"admin locked, admin locked\"",
     "expected each attribute once"},
    {"\"admin locked, oper disabled\"", "\"admin locked,\"", "expected one of admin"},
    {"up = \"oper enabled\"\nshut = \"admin locked, oper disabled\"\n", "",
     "expected at least one word in [words.state]"},
    {"up =", "\" up\" =", "expected a word as the device prints it, without blanks around it"},
    {"[words.state]", "[words.State]",
     "found \"State\", expected in [words.…] a name of lower-case letters, digits and -"},
    {"\"ABC123\"", "\"ABC;\"", "found \";\", expected letters, digits and - _ . : /"},
    {"\"ABC123\"", "\"\"", "expected at least one character"},
    {"characters = \"ABC123\"\n", "", "expected the key \"characters\" in [parameters.slot]"},
    {"longest = 4", "longest = 65", "expected a whole number from 1 to 64"},
    {"ask = [\"tell\", \"planes\"]\n", "", "expected the key \"ask\" in [query.planes]"},
    {"[\"tell\", \"planes\"]", "\"tell planes\"", "expected a list of 1 to 32 words"},
    {"[\"tell\", \"planes\"]", "[]", "expected a list of 1 to 32 words"},
    {"[\"tell\", \"planes\"]", "[\"tell planes\"]",
     "p.toml:16:8: found \"tell planes\", expected a word of 1 to 256 letters, digits and - _ . / "
     ": , = +"},
    {"[\"tell\", \"planes\"]", "[\"tell\", \"planes;x\"]", "found \"planes;x\""},
    {"[\"tell\", \"planes\"]", "[\"tell\", \"$(x)\"]", "found \"$(x)\""},
    {"[\"tell\", \"planes\"]", "[\"tell\", \"a\\nb\"]", "found \"a\\x0ab\""},
    {"[\"tell\", \"planes\"]", "[\"tell\", \"\"]", "expected a word of 1 to 256"},
    {"[\"tell\", \"planes\"]", "[\"tell\", 3]",
     "found \"3\", expected a word in double quotes or { parameter = \"name\" }"},
    {"{ parameter = \"slot\" }", "{ parameter = \"slat\" }",
     "found \"slat\", expected the name of a [parameters.…] table; Did you mean \"slot\"?"},
    {"{ parameter = \"slot\" }", "{ paramter = \"slot\" }", "Did you mean \"parameter\"?"},
    {"[\"tell\", { parameter = \"slot\" }]", "[{ parameter = \"slot\" }]",
     "expected a parameter once, and after a written word"},
    {"[\"tell\", { parameter = \"slot\" }]",
     "[\"x\", { parameter = \"slot\" }, { parameter = \"slot\" }]", "expected a parameter once"},
    {"refresh = \"2 s\"", "refresh = \"2 h\"", "expected a duration from 0 s to 1 h"},
    {"kind = \"plane\"", "kind = \"plain\"",
     "found \"plain\", expected one of chassis, controller, module, plane, fan-tray, power-supply, "
     "port, neighbour, sensor, alarm; Did you mean \"plane\"?"},
    {"kind = \"plane\"\n", "", "expected the key \"kind\" in [query.planes]"},
    {"lists = true", "lists = \"true\"", "expected true or false, without quotes"},
    {"kind = \"module\"\n", "kind = \"module\"\nlists = true\n",
     "expected no lists in a query with a parameter"},
    {"layout = \"table\"\n", "", "expected the key \"layout\" in [query.planes]"},
    {"layout = \"table\"", "layout = \"list\"", "expected one of table, record"},
    {"layout = \"table\"", "layout = \"record\"",
     "expected a table [query.planes.record] that describes it"},
    {"[query.planes.table]", "[query.planes.tabel]",
     "found \"tabel\", expected in [query.planes] one of"},
    {"[query.frame.record]", "[query.frame.table]\n[query.frame.record]",
     "expected only the table of layout = \"record\""},
    {"edges = \"rule\"", "edges = \"ruler\"",
     "expected one of header, rule, box, blanks; Did you mean \"rule\"?"},
    {"edges = \"rule\"", "edges = \"blanks\"", "expected no wraps where edges = \"blanks\""},
    {"edges = \"rule\"", "edges = \"blanks\"",
     "expected no right-aligned where edges = \"blanks\""},
    {"columns = [\"PLANE\", \"STATE\", \"FAULTS\"]", "columns = []", "expected 1 to 64 labels"},
    {"columns = [\"PLANE\", \"STATE\", \"FAULTS\"]", "columns = \"PLANE\"",
     "expected a list of texts"},
    {"columns = [\"PLANE\", \"STATE\", \"FAULTS\"]", "columns = [\"PLANE\", \"STATE\", 7]",
     "found \"7\", expected a text in double quotes"},
    {"columns = [\"PLANE\", \"STATE\", \"FAULTS\"]",
     "columns = [\"PLANE\", \"STATE\", \"STATE\", \"FAULTS\"]", "expected each label once"},
    {"columns = [\"PLANE\", \"STATE\", \"FAULTS\"]",
     "columns = [\"PLANE\", \" STATE\", \"FAULTS\"]",
     "expected a label as printed, without blanks around it"},
    {"right-aligned = [\"FAULTS\"]", "right-aligned = [\"FAULT\"]",
     "found \"FAULT\", expected a label that columns has; Did you mean \"FAULTS\"?"},
    {"separator = \"=\"", "separator = \"->\"", "expected one of :, =, ..."},
    {"labels = [\"Serial\"]", "labels = [\"Ser=ial\"]",
     "expected a label other than the heading and without \"=\""},
    {"\"PLANE\" = {", "\"PLAN\" = {",
     "p.toml:29:1: found \"PLAN\", expected a label of the layout: one of PLANE, STATE, FAULTS; "
     "Did you mean \"PLANE\"?"},
    {"\"PLANE\" = {", "\"PLAN\" = {", "expected the label \"PLANE\" in [query.planes.cells]"},
    {"{ as = \"name\", until = \"@\" }", "\"name\"", "expected what the cell means"},
    {"{ as = \"name\", until = \"@\" }", "{ as = \"nam\" }",
     "expected one of name, word, text, names, quantity, ignored; Did you mean \"name\"?"},
    {"{ as = \"name\", until = \"@\" }", "{ }", "expected the key \"as\""},
    {"{ as = \"name\", until = \"@\" }", "{ as = \"ignored\" }",
     "expected one cell with as = \"name\" in [query.planes]"},
    {"{ as = \"word\", words = \"state\" }", "{ as = \"name\" }",
     "found \"STATE\", expected one cell with as = \"name\""},
    {"words = \"state\" }", "words = \"stat\" }",
     "found \"stat\", expected the name of a [words.…] table; Did you mean \"state\"?"},
    {"words = \"state\" }", "attribute = \"oper\" }", "expected the key \"words\""},
    {"words = \"state\" }", "words = \"state\", unit = \"W\" }", "found \"unit\""},
    {"attribute = \"errors\"", "attribute = \"serial\"",
     "found \"serial\", expected one of links-usable"},
    {"attribute = \"errors\", ", "", "expected the key \"attribute\""},
    {"attribute = \"errors\"", "attribute = \"errors\", unit = \"W\"",
     "expected no unit, for errors is a count"},
    {"unit = \"Gb/s\"", "unit = \"W\"", "expected a unit of capacity, such as b/s"},
    {"unit = \"Gb/s\"", "unit = \"parsec\"", "expected a unit of capacity"},
    {"\"STATE\" = { as = \"word\", words = \"state\" }",
     "\"STATE\" = { as = \"quantity\", attribute = \"errors\" }",
     "expected an attribute that \"FAULTS\" does not give already"},
    {"name-is = \"frame\"\n", "", "expected one cell with as = \"name\" in [query.frame]"},
    {"name-is = \"frame\"", "name-is = \"\"", "expected a name"},
    {"heading = \"Slot\"\n", "heading = \"Slot\"\n[query.x]\n",
     "expected the key \"ask\" in [query.x]"},
    {"layout = \"record\"\n[query.slot.record]",
     "layout = \"record\"\nname-is = \"x\"\n[query.slot.record]",
     "expected either name-is or a cell as = \"name\""},
    {"lists = true\n", "lists = true\nname-is = \"x\"\n",
     "expected name-is only with layout = \"record\""},
    {"[query.slot]", "[query.Slot]",
     "found \"Slot\", expected in [query.…] a name of lower-case letters"},
    {"format = 1", "format = ", "p.toml:2:"},
    {"format = 1", "format = 1\nformat = 1", "expected TOML:"},
    // Of a bracket that is not closed the reader tells only where it no longer understands.
    {"\"FAULTS\"]\nright", "\"FAULTS\"\nright",
     "23:11: found \"a bracket that is open up to line 24\", expected TOML: the bracket that "
     "closes "
     "it"},
};

TEST(Profile, with_a_fault_is_refused_with_place_finding_and_remedy) {
    for (const Fault& fault : faults)
        EXPECT_THAT(problems_of(with(fault.before, fault.after)),
                    testing::Contains(HasSubstr(fault.problem)))
            << fault.before << " -> " << fault.after;
}

TEST(Profile, problems_each_have_a_file_and_a_remedy) {
    for (const Fault& fault : faults) {
        const auto profile = parse_profile(with(fault.before, fault.after), "p.toml");
        ASSERT_FALSE(profile) << fault.after;
        for (const state::Problem& problem : profile.error()) {
            EXPECT_EQ(problem.where, "p.toml");
            EXPECT_FALSE(problem.expected.empty()) << fault.after;
            EXPECT_FALSE(problem.remedy.empty()) << fault.after;
            EXPECT_GT(problem.at.line, 0U) << state::to_text(problem);
        }
    }
}

TEST(Profile, tells_every_problem_in_the_order_of_the_file) {
    std::string text = with("format = 1", "format = 2");
    text.replace(text.find("\"oper enabled\""), 14, "\"oper on\"");
    text.replace(text.find("edges = \"rule\""), 14, "edges = \"roll\"");
    const auto problems = problems_of(text);
    ASSERT_EQ(problems.size(), 3U);
    EXPECT_THAT(problems[0], HasSubstr("p.toml:2:"));
    EXPECT_THAT(problems[1], HasSubstr("p.toml:10:"));
    EXPECT_THAT(problems[2], HasSubstr("p.toml:22:"));
}

TEST(Profile, columns_of_problems_count_bytes) {
    // "ü" is two bytes and one character.
    EXPECT_THAT(problems_of(with("up = \"oper enabled\"", "\"ü\" = \"oper on\"")),
                testing::ElementsAre(HasSubstr("p.toml:10:8: found \"on\"")));
}

TEST(Profile, of_nothing_names_what_is_missing) {
    const auto problems = problems_of("");
    EXPECT_THAT(problems, testing::Contains(HasSubstr("expected the key \"profile\"")));
    EXPECT_THAT(problems, testing::Contains(HasSubstr("expected the key \"query\"")));
    EXPECT_THAT(problems_of("[query]\n[profile]\nformat = 1\nfamily = \"x\"\n"),
                testing::Contains(HasSubstr("expected 1 to 256 queries")));
    EXPECT_THAT(problems_of("query = 3\n[profile]\nformat = 1\nfamily = \"x\"\n"),
                testing::Contains(HasSubstr("expected a table")));
    EXPECT_THAT(problems_of("[profile]\nformat = 1\nfamily = \"x\"\n[query]\nx = 3\n"),
                testing::Contains(HasSubstr("expected a table [query.x]")));
    EXPECT_THAT(problems_of(std::string(1'000'001, '#')),
                testing::Contains(HasSubstr("expected at most 1000000 bytes")));
}

TEST(Profile, cut_at_any_byte_is_refused_or_read_without_harm) {
    for (std::size_t size = 0; size < good.size(); ++size) {
        const auto profile = parse_profile(good.substr(0, size), "p.toml");
        EXPECT_TRUE(profile || !profile.error().empty());
    }
}

TEST(Profile, of_any_bytes_is_refused_without_harm) {
    EXPECT_TRUE(
        rc::check([](const std::string& bytes) { RC_ASSERT(!parse_profile(bytes, "p.toml")); }));
}

} // namespace
} // namespace slotwitness::profiles
