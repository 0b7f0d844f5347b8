#include "world.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace slotwitness::witness::test {
namespace {

using state::AdminState;
using state::OperState;

const Inventory three = inventory({{Kind::plane, {"1", "2", "3"}}});

Truth over_cut(const char* sentence, Sheet sheet) {
    sheet.cut();
    return truth(sentence, view({sheet}), three).truth;
}

TEST(an_answer_that_is_not_whole, may_refute_and_never_confirm) {
    const Sheet mixed = planes({{"1", 'u'}, {"2", 'd'}});
    EXPECT_EQ(over_cut("plane 1 up", mixed), U);
    EXPECT_EQ(over_cut("plane 1 down", mixed), F);
    EXPECT_EQ(over_cut("plane 2 up", mixed), F);
    EXPECT_EQ(over_cut("plane 2 down", mixed), U);
    EXPECT_EQ(over_cut("every plane up", mixed), F);
    EXPECT_EQ(over_cut("at most 0 plane not up", mixed), F);
    EXPECT_EQ(over_cut("at most 1 plane not up", mixed), U);
    EXPECT_EQ(over_cut("at least 1 plane up", mixed), U);
}

TEST(an_answer_that_is_not_whole, is_not_turned_into_a_pass_by_not) {
    const Sheet mixed = planes({{"1", 'u'}, {"2", 'd'}});
    EXPECT_EQ(over_cut("not plane 2 up", mixed), U);
    EXPECT_EQ(over_cut("not plane 1 up", mixed), F);
    EXPECT_EQ(over_cut("not every plane up", mixed), U);
    EXPECT_EQ(over_cut("not plane 3 present", mixed), U);
    EXPECT_EQ(over_cut("not plane 1 present", mixed), F);
}

TEST(an_answer_that_is_not_whole, says_nothing_of_what_it_does_not_list) {
    const Sheet one = planes({{"1", 'u'}});
    EXPECT_EQ(over_cut("plane 3 absent", one), U);
    EXPECT_EQ(over_cut("plane 3 present", one), U);
    EXPECT_EQ(over_cut("plane 3 up", one), U);
    EXPECT_EQ(over_cut("every plane up", one), U);
    EXPECT_EQ(over_cut("plane 1 absent", one), F);
}

TEST(an_answer_that_is_not_whole, gives_its_remark_as_the_reason) {
    const Judgement one = truth("plane 1 up", view({Sheet(planes({{"1", 'u'}})).cut()}), three);
    EXPECT_EQ(one.because.reason, Reason::not_whole);
    EXPECT_EQ(one.because.text,
              "The device's answer to \"query1\" is not whole (cut after 812 bytes).");
}

// T0 would hide that links are missing, and "not known to be degraded" would then be true.
TEST(an_answer_that_is_not_whole, cannot_hide_that_a_plane_is_degraded) {
    const Sheet state =
        Sheet({Kind::plane}).row(Kind::plane, "1", {{Attribute::oper, OperState::enabled}});
    const auto links = [](const char* usable) {
        return Sheet()
            .row(Kind::plane, "1",
                 {{Attribute::links_usable, quantity(usable)},
                  {Attribute::links_total, quantity("4")}})
            .cut();
    };
    EXPECT_EQ(truth("plane 1 up", view({state, links("3")}), three).truth, F);
    EXPECT_EQ(truth("plane 1 up", view({state, links("4")}), three).truth, U);
    EXPECT_EQ(truth("plane 1 up", view({state, Sheet().cut()}), three).truth, U);
}

TEST(an_answer_that_is_not_whole, leaves_what_whole_answers_tell) {
    const Sheet other =
        Sheet({Kind::port})
            .row(Kind::port, "eth1", facts(AdminState::unlocked, OperState::disabled))
            .cut();
    const View look = view({planes({{"1", 'd'}, {"2", 'u'}, {"3", 'u'}}), other});
    EXPECT_EQ(truth("plane 1 down", look, three).truth, T);
    EXPECT_EQ(truth("plane 1 down and port eth1 down", look, three).truth, U);
    EXPECT_EQ(truth("plane 1 down or port eth1 down", look, three).truth, T);
    EXPECT_EQ(truth("plane 1 down and port eth1 up", look, three).truth, F);
}

TEST(contradicting_rows, make_the_component_unknown_whatever_is_asked) {
    Sheet sheet = planes({{"1", 'u'}, {"2", 'u'}, {"3", 's'}});
    sheet.row(Kind::plane, "3", facts(AdminState::locked, OperState::enabled));
    for (const char* sentence :
         {"plane 3 shut", "not plane 3 shut", "plane 3 admin locked", "plane 3 present",
          "plane 3 absent", "every plane up", "at most 0 plane not up"}) {
        const Judgement one = truth(sentence, view({sheet}), three);
        EXPECT_EQ(one.truth, U) << sentence;
        EXPECT_EQ(one.because.reason, Reason::contradiction) << sentence;
        ASSERT_EQ(one.because.cites.size(), 2U) << "both lines are shown";
        EXPECT_EQ(one.because.cites[0].at.line, 3U);
        EXPECT_EQ(one.because.cites[1].at.line, 4U);
    }
    EXPECT_EQ(truth("plane 1 up", view({sheet}), three).truth, T);
}

TEST(contradicting_rows, count_across_answers_and_when_one_is_cut) {
    const Sheet detail = Sheet().row(Kind::plane, "3", {{Attribute::oper, OperState::enabled}});
    EXPECT_EQ(truth("plane 3 shut", view({shut, detail}), three).truth, U);
    EXPECT_EQ(truth("plane 3 shut", view({shut, Sheet(detail).cut()}), three).truth, U);
    const Sheet same = Sheet().row(Kind::plane, "3", {{Attribute::oper, OperState::disabled}});
    EXPECT_EQ(truth("plane 3 shut", view({shut, same}), three).truth, T);
}

TEST(contradicting_rows, are_not_two_values_of_a_moving_counter_in_two_answers) {
    const auto with = [](const char* errors) {
        return Sheet({Kind::plane})
            .row(Kind::plane, "3",
                 {{Attribute::oper, OperState::enabled}, {Attribute::errors, quantity(errors)}});
    };
    EXPECT_EQ(truth("plane 3 up", view({with("7"), with("8")}), three).truth, T);
    Sheet one = with("7");
    one.row(Kind::plane, "3", {{Attribute::errors, quantity("8")}});
    EXPECT_EQ(truth("plane 3 up", view({one}), three).truth, U)
        << "within one answer they contradict";
}

TEST(contradicting_rows, two_readings_of_one_sensor_leave_it_unknown) {
    const auto with = [](const char* value) {
        return Sheet({Kind::sensor})
            .row(Kind::sensor, "inlet", {{Attribute::reading, quantity(value)}});
    };
    const Inventory inlet = inventory({{Kind::sensor, {"inlet"}}});
    EXPECT_EQ(truth("sensor inlet below 45 C", view({with("40 C"), with("41 C")}), inlet).truth, U);
}

TEST(contradicting_answers, one_lists_it_and_one_that_lists_all_does_not) {
    const Sheet detail =
        Sheet().row(Kind::plane, "3", facts(AdminState::locked, OperState::disabled));
    const View look = view({planes({{"1", 'u'}, {"2", 'u'}}), detail});
    for (const char* sentence : {"plane 3 shut", "plane 3 absent", "not plane 3 present"}) {
        EXPECT_EQ(truth(sentence, look, three).truth, U) << sentence;
        EXPECT_EQ(truth(sentence, look, three).because.reason, Reason::contradiction) << sentence;
    }
}

TEST(an_unknown_word_in_one_row, leaves_the_fact_unknown_though_another_row_tells_it) {
    const Sheet detail = Sheet().row(Kind::plane, "3", {{Attribute::oper, state::Unknown{}}});
    EXPECT_EQ(truth("plane 3 down", view({shut, detail}), three).truth, U);
    EXPECT_EQ(truth("plane 3 admin locked", view({shut, detail}), three).truth, T);
}

TEST(unread_line, leaves_claims_about_one_named_row) {
    const Sheet sheet = Sheet(shut).unread("#### garbled ####");
    EXPECT_EQ(truth("plane 3 shut", view({sheet}), three).truth, T);
    EXPECT_EQ(truth("plane 1 present", view({sheet}), three).truth, T);
    EXPECT_EQ(truth("plane 1 down", view({sheet}), three).truth, F);
}

TEST(unread_line, takes_away_claims_about_all_none_at_most_and_absence) {
    const Inventory four = inventory({{Kind::plane, {"1", "2", "3", "4"}}});
    const Sheet sheet = Sheet(up).unread("#### garbled ####");
    for (const char* sentence : {"every plane up", "at most 1 plane not up", "plane 4 absent",
                                 "not plane 4 present", "plane 4 up"}) {
        const Judgement one = truth(sentence, view({sheet}), four);
        EXPECT_EQ(one.truth, U) << sentence;
        EXPECT_EQ(one.because.reason, Reason::not_read) << sentence;
        ASSERT_FALSE(one.because.cites.empty()) << sentence;
        EXPECT_EQ(one.because.cites[0].text, "#### garbled ####") << sentence;
    }
    EXPECT_EQ(truth("at least 3 plane up", view({sheet}), four).truth, T);
}

TEST(unread_line, lets_a_surely_false_member_refute) {
    const Sheet sheet = Sheet(shut).unread("#### garbled ####");
    EXPECT_EQ(truth("every plane up", view({sheet}), three).truth, F);
    EXPECT_EQ(truth("at most 0 plane not up", view({sheet}), three).truth, F);
}

TEST(unread_line, that_names_a_component_takes_all_claims_about_it) {
    const Sheet sheet = Sheet(shut).unread("plane 3: see log");
    for (const char* sentence :
         {"plane 3 shut", "plane 3 up", "plane 3 present", "plane 3 absent"}) {
        EXPECT_EQ(truth(sentence, view({sheet}), three).truth, U) << sentence;
        EXPECT_EQ(truth(sentence, view({sheet}), three).because.reason, Reason::not_read)
            << sentence;
    }
    EXPECT_EQ(truth("plane 1 up", view({sheet}), three).truth, T);
}

TEST(unread_line, in_another_answer_of_the_look_counts_too) {
    EXPECT_EQ(truth("plane 3 shut", view({shut, Sheet().unread("3 is odd")}), three).truth, U);
    EXPECT_EQ(truth("every plane up", view({up, Sheet({Kind::port}).unread("odd")}), three).truth,
              T)
        << "that answer lists no planes";
}

// "Not known to be degraded" is no knowledge where the line that tells the links is garbled.
TEST(unread_line, may_hide_that_a_plane_is_degraded) {
    const Sheet state =
        Sheet({Kind::plane}).row(Kind::plane, "1", {{Attribute::oper, OperState::enabled}});
    const auto links = [](const char* name) {
        return Sheet()
            .about({Kind::plane})
            .row(Kind::plane, name,
                 {{Attribute::links_usable, quantity("4")},
                  {Attribute::links_total, quantity("4")}});
    };
    const Judgement hidden =
        truth("plane 1 up", view({state, links("2").unread("#### 3 of 4")}), three);
    EXPECT_EQ(hidden.truth, U);
    EXPECT_EQ(hidden.because.reason, Reason::not_read);
    EXPECT_EQ(truth("plane 1 up", view({state, Sheet().about({Kind::plane}).unread("#### 3 of 4")}),
                    three)
                  .truth,
              U);
    EXPECT_EQ(truth("plane 1 up", view({state, links("1").unread("####")}), three).truth, T)
        << "its own row tells the links";
    EXPECT_EQ(truth("plane 1 up", view({state, links("2")}), three).truth, T)
        << "nothing is unread";
    const Sheet ports = Sheet().about({Kind::port}).unread("####");
    EXPECT_EQ(truth("plane 1 up", view({state, ports}), three).truth, T) << "about ports alone";
}

TEST(unread_line, may_hide_that_a_sensor_tells_nothing) {
    const Sheet values =
        Sheet({Kind::sensor}).row(Kind::sensor, "inlet", {{Attribute::reading, quantity("30 C")}});
    const Sheet status =
        Sheet()
            .about({Kind::sensor})
            .row(Kind::sensor, "outlet", {{Attribute::sensor_status, state::SensorStatus::ok}});
    const Inventory two = inventory({{Kind::sensor, {"inlet", "outlet"}}});
    EXPECT_EQ(truth("sensor inlet below 45 C", view({values, status}), two).truth, T);
    EXPECT_EQ(
        truth("sensor inlet below 45 C", view({values, Sheet(status).unread("#### away")}), two)
            .truth,
        U);
}

// A device can print as many rows of one component, and as many unread lines, as an answer holds.
TEST(unread_line, and_rows_of_one_name_are_weighed_in_one_pass) {
    constexpr int many = 2'000;
    Sheet sheet({Kind::plane});
    std::vector<std::string> names;
    for (int i = 0; i < many; ++i) {
        names.push_back("P" + std::to_string(i));
        sheet.row(Kind::plane, names.back(), {{Attribute::oper, OperState::enabled}});
        sheet.row(Kind::plane, "P0", {{Attribute::oper, OperState::enabled}});
        sheet.unread("Q" + std::to_string(i) + " odd");
    }
    const View all = view({sheet});
    EXPECT_EQ(truth("every plane up", all, inventory({{Kind::plane, names}})).truth, U);
    EXPECT_EQ(truth("plane P7 up", all, inventory({{Kind::plane, names}})).truth, T);
    const View named = view({sheet.unread("port P8: odd")});
    EXPECT_EQ(truth("plane P8 up", named, inventory({{Kind::plane, names}})).truth, U);
}

TEST(unread_line, names_by_whole_words) {
    EXPECT_TRUE(names("FAB3", "FAB3"));
    EXPECT_TRUE(names("  fab3: odd", "FAB3"));
    EXPECT_TRUE(names("at FAB3/2", "FAB3"));
    EXPECT_TRUE(names("xFAB3 FAB3", "FAB3"));
    EXPECT_FALSE(names("FAB31", "FAB3"));
    EXPECT_FALSE(names("XFAB3", "FAB3"));
    EXPECT_FALSE(names("13 33", "3"));
    EXPECT_TRUE(names("13 3", "3"));
    EXPECT_FALSE(names("", "3"));
    EXPECT_FALSE(names("anything", ""));
}

TEST(unread_line, names_the_same_among_many) {
    const std::vector<std::string> lines = {"FAB31 2/FAB",  "xFAB3 fab3", "at 2/FAB3, see 3/fab3",
                                            "-- é --  3/3", "3",          "FAB 3-1"};
    for (const std::string name : {"FAB3", "fab", "2/FAB3", "3/FAB3", "/FAB3", "3/", "é", "--", "-",
                                   "3", "3/3", "FAB 3-1", "FAB 3", "1", "", "é --", "FAB3, see"}) {
        Mentions mentions;
        std::vector<state::UnreadLine> unread;
        for (const std::string& line : lines)
            unread.push_back({unread.size() + 1, line, 1, ""});
        for (const state::UnreadLine& line : unread)
            mentions.add(0, line);
        const auto expected = std::find_if(
            lines.begin(), lines.end(), [&](const std::string& line) { return names(line, name); });
        const Mentions::Line* found = mentions.first(name);
        EXPECT_EQ(found != nullptr ? found->it->text : "", expected != lines.end() ? *expected : "")
            << name;
    }
}

} // namespace
} // namespace slotwitness::witness::test
