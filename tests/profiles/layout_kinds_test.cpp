#include <slotwitness/profiles/profile.hpp>

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using state::Attribute;
using state::Value;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const std::string head = "[profile]\nformat = 1\nfamily = \"Example\"\n";

Profile profile(const std::string& text) {
    auto parsed = parse_profile(head + text, "family.toml");
    std::string why;
    if (!parsed)
        for (const state::Problem& problem : parsed.error())
            why += state::to_text(problem) + "\n";
    EXPECT_TRUE(parsed) << why;
    return parsed ? std::move(*parsed) : Profile{};
}

std::vector<std::string> problems(const std::string& text) {
    std::vector<std::string> lines;
    if (const auto parsed = parse_profile(head + text, "family.toml"); !parsed)
        for (const state::Problem& problem : parsed.error())
            lines.push_back(state::to_text(problem));
    return lines;
}

std::vector<std::string> names(const state::Reading& reading) {
    std::vector<std::string> all;
    for (const state::Row& row : reading.rows)
        all.push_back(row.name);
    return all;
}

const std::string free_text = R"(
[grammar]
rules = '''
slot-line = "Slot " slot " holds a fabric part, " state "."
more-line = 1*SP "drawing " power "."
count     = 1*DIGIT " slots listed."
log-line  = "*** " *VCHAR *(SP *VCHAR)
slot      = 1*(ALPHA / DIGIT)
state     = "running" / "stopped"
power     = 1*DIGIT SP "W"
'''
[terminal]
pagers    = ["-- more --"]
echo      = true
log-lines = ["log-line"]
[words.state]
running = "oper enabled"
stopped = "oper disabled"
[query.slots]
ask    = ["tell", "slots"]
kind   = "module"
lists  = true
layout = "lines"
[query.slots.lines]
rows      = ["slot-line"]
continues = ["more-line"]
pass-over = ["count"]
[query.slots.cells]
"slot"  = { as = "name" }
"state" = { as = "word", words = "state" }
"power" = { as = "quantity", attribute = "reading", required = false }
)";

TEST(Lines, in_abnf_become_rows_by_the_names_of_their_rules) {
    const auto reading = read(profile(free_text), "slots",
                              "Slot FAB3 holds a fabric part, running.\n"
                              "   drawing 310 W.\n"
                              "Slot FAB4 holds a fabric part, stopped.\n"
                              "2 slots listed.\n",
                              true);
    EXPECT_THAT(reading.unread, IsEmpty());
    EXPECT_THAT(names(reading), ElementsAre("FAB3", "FAB4"));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::oper).value, Value{state::OperState::enabled});
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::reading).value,
              (Value{*units::parse_quantity("310 W")}));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::reading).at, (state::Position{2, 12}));
    EXPECT_EQ(reading.rows[1].facts.at(Attribute::oper).value, Value{state::OperState::disabled});
    EXPECT_EQ(reading.set_aside, (std::vector<state::SetAsideLine>{{4, "named in the profile"}}));
}

TEST(Reading, of_an_answer_about_another_than_was_asked_has_a_remark) {
    std::string one_slot = free_text;
    one_slot.replace(one_slot.find("ask    = [\"tell\", \"slots\"]\n"), 26,
                     "ask    = [\"tell\", { parameter = \"slot\" }]\n");
    one_slot.replace(one_slot.find("lists  = true\n"), 14, "");
    one_slot += "[parameters.slot]\ncharacters = \"ABCDEF0123456789/\"\n";
    const Profile of_one = profile(one_slot);
    constexpr std::string_view answer = "Slot FAB3 holds a fabric part, running.\n";
    const auto asked_about = [&](const std::string& slot) {
        return read(of_one, Asking{"slots", {{"slot", slot}}}, answer, true).remarks;
    };
    EXPECT_THAT(asked_about("FAB3"), IsEmpty());
    for (const char* other : {"FAB4", "FAB", "AB3"})
        EXPECT_EQ(asked_about(other),
                  (std::vector<state::Remark>{{{1, 1},
                                               "the answer names \"FAB3\", but was asked about \"" +
                                                   std::string{other} + "\""}}));
}

TEST(Terminal, residue_is_set_aside_and_places_are_those_of_the_answer_as_it_came) {
    const auto reading =
        read(profile(free_text), "slots",
             "tell slots\r\n"
             "Slot FAB3 holds a fabric part, running.\r\n"
             "*** 12:00 somebody looked\r\n"
             "-- more --\r          \rSlot FAB4 holds a fabric part, \x1b[1mstopped\x1b[m.\r\n",
             true);
    EXPECT_THAT(reading.unread, IsEmpty());
    EXPECT_THAT(names(reading), ElementsAre("FAB3", "FAB4"));
    EXPECT_EQ(reading.rows[1].facts.at(Attribute::oper).at, (state::Position{4, 58}));
    ASSERT_EQ(reading.set_aside.size(), 3U);
    EXPECT_EQ(reading.set_aside[0].line, 1U);
    EXPECT_EQ(reading.set_aside[1].line, 3U);
    EXPECT_EQ(reading.set_aside[2].line, 4U);
}

TEST(Terminal, rows_that_are_written_over_are_not_lost_in_silence) {
    const auto reading = read(
        profile(free_text), "slots",
        "Slot FAB3 holds a fabric part, stopped.\rSlot FAB4 holds a fabric part, running.\n", true);
    EXPECT_THAT(names(reading), ElementsAre("FAB4"));
    ASSERT_EQ(reading.unread.size(), 1U);
    EXPECT_THAT(reading.unread[0].text, HasSubstr("FAB3"));
    EXPECT_FALSE(reading.wholly_read());
}

TEST(Terminal, residue_that_no_profile_declares_is_unread) {
    std::string bare = free_text;
    bare.erase(bare.find("[terminal]"), bare.find("[words") - bare.find("[terminal]"));
    const auto reading = read(profile(bare), "slots",
                              "tell slots\n"
                              "Slot FAB3 holds a fabric part, running.\n"
                              "*** 12:00 somebody looked\n"
                              "-- more --\n",
                              true);
    EXPECT_EQ(reading.unread.size(), 3U);
    EXPECT_FALSE(reading.wholly_read());
}

TEST(Lines, whose_rules_are_wrong_are_refused_with_the_place_in_the_rules) {
    const auto with = [](const std::string& before, const std::string& after) {
        std::string text = free_text;
        text.replace(text.find(before), before.size(), after);
        return problems(text);
    };
    EXPECT_THAT(with("\"running\" / \"stopped\"", "\"running\" / / \"stopped\""),
                Contains(HasSubstr("of the rules")));
    EXPECT_THAT(with("rows      = [\"slot-line\"]", "rows      = [\"slot-lin\"]"),
                Contains(HasSubstr("Did you mean \"slot-line\"?")));
    EXPECT_THAT(with("\"power\" =", "\"powr\" ="), Contains(HasSubstr("only names of rules")));
    EXPECT_THAT(with("log-lines = [\"log-line\"]", "log-lines = [\"log\"]"),
                Contains(HasSubstr("the name of a rule of [grammar]")));
    EXPECT_THAT(with("layout = \"lines\"", "layout = \"table\""),
                Contains(HasSubstr("only the table of layout")));
    const std::string pass_over = "pass-over = [\"count\"]\n";
    EXPECT_THAT(with(pass_over, pass_over + "right-below = { slot-line = [\"count\"] }\n"),
                Contains(HasSubstr("A row may stand anywhere")));
    EXPECT_THAT(with(pass_over, pass_over + "right-below = { more-line = [\"slot-lin\"] }\n"),
                Contains(HasSubstr("Did you mean \"slot-line\"?")));
    EXPECT_THAT(with(pass_over, pass_over + "right-below = { more-line = [] }\n"),
                Contains(HasSubstr("Write for example more-line = [\"slot-line\"].")));
}

TEST(Tables, may_have_footers_in_abnf) {
    const auto reading = read(profile(R"(
[grammar]
rules = 'count = 1*DIGIT " slots listed."'
[query.slots]
ask    = ["tell", "slots"]
kind   = "module"
lists  = true
layout = "table"
[query.slots.table]
edges           = "header"
columns         = ["SLOT"]
pass-over-rules = ["count"]
[query.slots.cells]
"SLOT" = { as = "name" }
)"),
                              "slots", "SLOT\nFAB3\n\n1 slots listed.\n", true);
    EXPECT_THAT(reading.unread, IsEmpty());
    EXPECT_THAT(names(reading), ElementsAre("FAB3"));
    EXPECT_EQ(reading.set_aside.size(), 1U);
}

TEST(Names, may_be_made_of_a_group_and_a_cell) {
    const std::string text = R"(
[query.slots]
ask       = ["tell", "slots"]
kind      = "module"
lists     = true
name-join = "/"
layout    = "table"
[query.slots.table]
edges   = "header"
columns = ["STATE", "SLOT"]
group   = "Shelf"
[query.slots.cells]
"Shelf" = { as = "name" }
"STATE" = { as = "ignored" }
"SLOT"  = { as = "name" }
)";
    const auto reading =
        read(profile(text), "slots", "Shelf 2\nSTATE  SLOT\nup     FAB3\nup\n", true);
    EXPECT_THAT(names(reading), ElementsAre("2/FAB3"));
    ASSERT_EQ(reading.unread.size(), 1U);
    EXPECT_EQ(reading.unread[0].line, 4U);
    std::string without = text;
    without.erase(without.find("name-join"), without.find("layout") - without.find("name-join"));
    EXPECT_THAT(problems(without), Contains(HasSubstr("name-join = \"/\"")));
}

TEST(Json, is_read_by_pointers) {
    const auto reading =
        read(profile(R"(
[words.state]
up   = "oper enabled"
down = "oper disabled"
[query.ports]
ask    = ["tell", "ports", "--json"]
kind   = "port"
lists  = true
layout = "json"
[query.ports.json]
rows      = "/ports/*"
pass-over = ["/ports/*/*", "/made"]
[query.ports.cells]
"/name"       = { as = "name" }
"/link/state" = { as = "word", words = "state" }
"/rate"       = { as = "quantity", attribute = "capacity", unit = "Gb/s", required = false }
)"),
             "ports",
             R"({"made": 1, "ports": [{"name": "eth1", "link": {"state": "up"}, "rate": 400},
 {"name": "eth2", "link": {"state": "down"}, "other": 7}]})",
             true);
    EXPECT_THAT(reading.unread, IsEmpty());
    EXPECT_THAT(names(reading), ElementsAre("eth1", "eth2"));
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::capacity).value,
              (Value{*units::parse_quantity("400 Gb/s")}));
    EXPECT_EQ(reading.rows[1].facts.at(Attribute::oper).value, Value{state::OperState::disabled});
    EXPECT_THAT(problems("[query.x]\nask = [\"x\"]\nkind = \"port\"\nlayout = "
                         "\"json\"\n[query.x.json]\nrows = \"a\"\n"
                         "[query.x.cells]\n\"/n\" = { as = \"name\" }\n"),
                Contains(HasSubstr("family.toml:9:8")));
}

// A device may cut what it prints and yet end it in good order.
TEST(Documents, that_end_before_their_own_end_are_not_whole) {
    const Profile either = profile(R"(
[query.hardware]
ask    = ["tell", "hardware"]
layout = "hardware-xml"
[query.hardware.hardware-xml]
[query.ports]
ask    = ["tell", "ports", "--json"]
kind   = "port"
layout = "json"
[query.ports.json]
rows      = "/ports/*"
[query.ports.cells]
"/name"       = { as = "name" }
)");
    const std::string xml =
        "<hardware xmlns=\"urn:ietf:params:xml:ns:yang:ietf-hardware\"></hardware>";
    const std::string json = R"({"ports": [{"name": "eth1"}]})";
    EXPECT_TRUE(read(either, "hardware", xml, true).whole);
    EXPECT_TRUE(read(either, "ports", json, true).whole);
    for (const std::size_t size : {std::size_t{0}, std::size_t{9}, json.size() - 1}) {
        EXPECT_FALSE(read(either, "hardware", xml.substr(0, size), true).whole) << size;
        EXPECT_FALSE(read(either, "ports", json.substr(0, size), true).whole) << size;
    }
    EXPECT_TRUE(read(either, "ports", json + "x", true).whole) << "unread, not cut";
}

TEST(HardwareXml, tells_the_kind_of_each_component) {
    const Profile xml = profile(R"(
[query.hardware]
ask    = ["tell", "hardware"]
layout = "hardware-xml"
[query.hardware.hardware-xml]
pass-over-other-classes = true
classes = { container = "fan-tray" }
)");
    const auto reading =
        read(xml, "hardware", R"(<h:hardware xmlns:h="urn:ietf:params:xml:ns:yang:ietf-hardware">
<h:component><h:name>FAB3</h:name><h:class xmlns:i="urn:ietf:params:xml:ns:yang:iana-hardware">i:module</h:class>
<h:state><h:admin-state>locked</h:admin-state><h:oper-state>disabled</h:oper-state>
<h:alarm-state>warning critical</h:alarm-state></h:state></h:component>
<h:component><h:name>inlet</h:name><h:class xmlns:i="urn:ietf:params:xml:ns:yang:iana-hardware">i:sensor</h:class>
<h:sensor-data><h:value>1000000000</h:value><h:value-type>celsius</h:value-type><h:value-scale>units</h:value-scale>
<h:value-precision>0</h:value-precision><h:oper-status>ok</h:oper-status></h:sensor-data></h:component>
</h:hardware>
)",
             true);
    EXPECT_THAT(reading.unread, IsEmpty());
    ASSERT_THAT(names(reading), ElementsAre("FAB3", "inlet"));
    EXPECT_EQ(reading.rows[0].kind, state::Kind::module);
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::admin).value, Value{state::AdminState::locked});
    EXPECT_EQ(reading.rows[0].facts.at(Attribute::alarm).value, Value{state::AlarmState::critical});
    EXPECT_EQ(reading.rows[1].kind, state::Kind::sensor);
    EXPECT_EQ(reading.rows[1].facts.at(Attribute::reading).value, Value{state::Unknown{}})
        << "RFC 8348: overflow";
    EXPECT_THAT(reading.lists, IsEmpty())
        << "absence is weak where rights are not known (RFC 8341, section 3.2.4)";
    EXPECT_EQ(kinds_of(xml.queries.at("hardware")).count(state::Kind::fan_tray), 1U);
}

} // namespace
} // namespace slotwitness::profiles
