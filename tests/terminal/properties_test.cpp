#include "account.hpp"
#include "writer.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

namespace slotwitness::terminal {
namespace {

std::string without_returns(std::string_view text) {
    std::string bare{text};
    std::erase(bare, '\r');
    return bare;
}

TEST(WhatWasTyped, cleans_to_what_was_meant) {
    EXPECT_TRUE(rc::check([] {
        const Typed typed = *anything_typed();
        const Clean cleaned = clean(typed.raw, typed.spec, true);
        RC_ASSERT(cleaned.unread.empty());
        RC_ASSERT(without_returns(cleaned.text()) == typed.meant);
        RC_ASSERT(fault_of(cleaned, typed.raw) == std::nullopt);
    }));
}

TEST(WhatWasTyped, maps_back_to_the_bytes_where_it_stands) {
    EXPECT_TRUE(rc::check([] {
        const Typed typed = *anything_typed();
        const Clean cleaned = clean(typed.raw, typed.spec, true);
        std::vector<std::size_t> places;
        state::Position at{1, 1};
        for (const char byte : without_returns(cleaned.text())) {
            if (byte == '\n') {
                at = {at.line + 1, 1};
                continue;
            }
            places.push_back(offset_of(typed.raw, cleaned.raw(at)));
            ++at.column;
        }
        RC_ASSERT(places == typed.places);
    }));
}

TerminalSpec spec_for_anything(bool tabs) {
    TerminalSpec spec{
        {"more"}, {}, [](std::string_view line) { return line.starts_with("%"); }, {}};
    if (tabs)
        spec.tab_width = 4;
    return spec;
}

TEST(WhateverWasSent, is_accounted_for_byte_by_byte) {
    EXPECT_TRUE(rc::check([] {
        const std::string raw = *anything_sent();
        for (const bool tabs : {false, true})
            for (const bool ended : {false, true})
                RC_ASSERT(fault_of(clean(raw, spec_for_anything(tabs), ended), raw) ==
                          std::nullopt);
    }));
}

bool is_control(char byte) {
    return static_cast<unsigned char>(byte) < ' ' || byte == '\x7f';
}

TEST(WhateverWasSent, leaves_no_control_byte_in_a_line_that_counts_as_read) {
    EXPECT_TRUE(rc::check([] {
        const std::string raw = *anything_sent();
        const Clean cleaned = clean(raw, spec_for_anything(true), true);
        std::set<std::size_t> unread;
        for (const state::UnreadLine& line : cleaned.unread)
            unread.insert(line.line);
        RC_ASSERT(unread.size() == cleaned.unread.size());
        std::set<std::size_t> marked;
        std::size_t number = 0;
        for (std::string_view line : lines_of(cleaned.text())) {
            ++number;
            if (line.ends_with('\r'))
                line.remove_suffix(1);
            if (std::any_of(line.begin(), line.end(), is_control))
                marked.insert(cleaned.raw({number, 1}).line);
        }
        RC_ASSERT(marked == unread);
    }));
}

TEST(WhateverWasSent, is_clean_after_one_cleaning) {
    EXPECT_TRUE(rc::check([] {
        const std::string raw = *anything_sent();
        const TerminalSpec spec = spec_for_anything(*rc::gen::arbitrary<bool>());
        const Clean once = clean(raw, spec, true);
        const Clean twice = clean(once.text(), spec, true);
        RC_ASSERT(twice.text() == once.text());
        RC_ASSERT(twice.set_aside.empty());
        RC_ASSERT(twice.unread.size() == once.unread.size());
    }));
}

/// Each terminated line of the clean text by its raw number.
std::map<std::size_t, std::string> terminated_lines(const Clean& cleaned) {
    std::map<std::size_t, std::string> lines;
    const std::string_view text = cleaned.text();
    const auto all = lines_of(text);
    for (std::size_t i = 0; i < all.size(); ++i)
        if (i + 1 < all.size() || text.ends_with('\n'))
            lines[cleaned.raw({i + 1, 1}).line] = all[i];
    return lines;
}

/// The whole answer may doubt what its beginning could not yet.
void check_every_cut(const std::string& raw, const TerminalSpec& spec) {
    const Clean whole = clean(raw, spec, true);
    auto all = terminated_lines(whole);
    std::set<std::size_t> doubted;
    for (const state::UnreadLine& line : whole.unread)
        doubted.insert(line.line);
    for (std::size_t size = 0; size < raw.size(); ++size) {
        const std::string cut = raw.substr(0, size);
        for (const auto& [number, line] : terminated_lines(clean(cut, spec, false)))
            RC_ASSERT(doubted.contains(number) || all[number] == line);
    }
}

TEST(Cuts, at_any_byte_yield_no_line_that_the_whole_answer_has_not) {
    EXPECT_TRUE(rc::check([] { check_every_cut(*anything_sent(), spec_for_anything(false)); }));
    EXPECT_TRUE(rc::check([] {
        const Typed typed = *anything_typed();
        check_every_cut(typed.raw, typed.spec);
    }));
}

} // namespace
} // namespace slotwitness::terminal
