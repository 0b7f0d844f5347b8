#include <slotwitness/watch/admission.hpp>

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>

namespace slotwitness::watch {
namespace {

using Ticket = Admission::Ticket;
using Tickets = std::vector<Ticket>;

TEST(Admission, lets_in_as_many_at_once_as_there_are_places) {
    Admission admission({2, 8});
    for (int i = 0; i < 3; ++i)
        static_cast<void>(admission.queue({}, Urgency::idle));
    EXPECT_EQ(admission.admit(), (Tickets{1, 2}));
    EXPECT_EQ(admission.admit(), Tickets{});
    admission.leave(1);
    EXPECT_EQ(admission.admit(), Tickets{3});
}

TEST(Admission, lets_work_in_before_idle_ones_and_those_that_fail_last) {
    Admission admission({3, 8});
    const Ticket failing = admission.queue({}, Urgency::failing);
    const Ticket idle = admission.queue({}, Urgency::idle);
    const Ticket work = admission.queue({}, Urgency::work);
    EXPECT_EQ(admission.admit(), (Tickets{work, idle, failing}));
}

TEST(Admission, who_is_needed_while_waiting_moves_ahead) {
    Admission admission({1, 8});
    static_cast<void>(admission.queue({}, Urgency::idle));
    const Ticket needed = admission.queue({}, Urgency::idle);
    admission.is_now(needed, Urgency::work);
    EXPECT_EQ(admission.admit(), Tickets{needed});
}

TEST(Admission, each_fourth_place_goes_to_the_longest_waiting) {
    Admission admission({4, 8});
    const Ticket idle = admission.queue({}, Urgency::idle);
    for (int i = 0; i < 5; ++i)
        static_cast<void>(admission.queue({}, Urgency::work));
    EXPECT_EQ(admission.admit(), (Tickets{2, 3, 4, idle}));
}

TEST(Admission, a_bastion_that_is_busy_keeps_nobody_else_out) {
    Admission admission({4, 2});
    for (const char* bastion : {"b1", "b1", "b1", "b2"})
        static_cast<void>(admission.queue({bastion}, Urgency::idle));
    EXPECT_EQ(admission.admit(), (Tickets{1, 2, 4}));
    admission.leave(1);
    EXPECT_EQ(admission.admit(), Tickets{3});
}

TEST(Admission, each_bastion_of_a_way_counts) {
    Admission admission({4, 1});
    static_cast<void>(admission.queue({"b1", "b2"}, Urgency::idle));
    static_cast<void>(admission.queue({"b2"}, Urgency::idle));
    EXPECT_EQ(admission.admit(), Tickets{1});
    admission.leave(1);
    EXPECT_EQ(admission.admit(), Tickets{2});
}

TEST(Admission, who_gives_up_waiting_leaves_no_trace) {
    Admission admission({1, 1});
    const Ticket inside = admission.queue({"b1"}, Urgency::idle);
    EXPECT_EQ(admission.admit(), Tickets{inside});
    const Ticket given_up = admission.queue({"b1"}, Urgency::work);
    admission.leave(given_up);
    admission.leave(inside);
    EXPECT_EQ(admission.admit(), Tickets{});
    EXPECT_EQ(admission.waiting() + admission.inside(), 0U);
}

using Way = std::vector<std::string>;
struct Guest {
    Way way;
    std::size_t older = 0;     ///< who waited already as it came
    std::size_t overtaken = 0; ///< places given while it waited
};

/// Guests come and leave at random, more urgent ones all the time.
void visit(std::uint32_t seed) {
    std::mt19937 random(seed);
    const auto below = [&random](std::size_t bound) { return random() % bound; };
    const std::vector<Way> ways{{}, {"b1"}, {"b2"}, {"b1", "b2"}};
    const bool through_bastions = below(2) == 0;
    const Doors doors{1 + below(5), 1 + below(3)};
    Admission admission(doors);
    std::map<Ticket, Guest> waiting;
    std::map<Ticket, Guest> inside;
    for (int turn = 0; turn < 300; ++turn) {
        if (below(3) > 0) {
            Guest guest;
            if (through_bastions)
                guest.way = ways[below(ways.size())];
            guest.older = waiting.size();
            constexpr Urgency urgencies[] = {Urgency::work, Urgency::work, Urgency::idle,
                                             Urgency::failing};
            waiting.emplace(admission.queue(guest.way, urgencies[below(4)]), guest);
        } else if (!inside.empty()) {
            const auto leaves =
                std::next(inside.begin(), static_cast<std::ptrdiff_t>(below(inside.size())));
            admission.leave(leaves->first);
            inside.erase(leaves);
        }
        for (const Ticket ticket : admission.admit()) {
            inside.insert(waiting.extract(ticket));
            for (auto& [other, guest] : waiting)
                ++guest.overtaken;
        }
        ASSERT_LE(inside.size(), doors.at_once);
        std::map<std::string, std::size_t> through;
        for (const auto& [ticket, guest] : inside)
            for (const std::string& bastion : guest.way)
                ASSERT_LE(++through[bastion], doors.through_a_bastion);
        if (through_bastions)
            continue;
        // Whose way is free all the time has its turn once all older ones had theirs.
        for (const auto& [ticket, guest] : waiting)
            ASSERT_LE(guest.overtaken, 4 * (guest.older + 1));
        ASSERT_TRUE(waiting.empty() || inside.size() == doors.at_once) << "a place stays empty";
    }
}

TEST(Admission, keeps_its_bounds_and_lets_nobody_wait_for_ever) {
    for (std::uint32_t seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        ASSERT_NO_FATAL_FAILURE(visit(seed));
    }
}

} // namespace
} // namespace slotwitness::watch
