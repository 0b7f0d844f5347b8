#include <slotwitness/journal/chain.hpp>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include <stdexcept>

namespace slotwitness::journal {

using nlohmann::json;

namespace {

const json small_body = {
    {"at", "5"}, {"type", "tick"}, {"event", json::object()}, {"findings", json::array()}};

Head after(const Entry& entry) {
    return {entry.sequence, entry.hash};
}

} // namespace

TEST(Chain, writes_the_line_that_its_hash_covers) {
    const Entry first = next_entry("r1", Head{}, small_body);
    const std::string zeros(64, '0');
    EXPECT_EQ(first.line, R"({"at":"5","chassis":"r1","event":{},"findings":[],"prev":")" + zeros +
                              R"(","seq":"1","type":"tick"})");
    // printf '%s' '<line>' | sha256sum (GNU coreutils)
    EXPECT_EQ(first.hash, "ae88c1e9e6b4a36644e57a727cc058860503efc7457b129640b2e5bf52df5fdb");
    const Entry second = next_entry("r1", after(first), small_body);
    EXPECT_EQ(second.sequence, 2U);
    EXPECT_EQ(second.previous, first.hash);
    EXPECT_EQ(json::parse(second.line)["prev"], first.hash);
}

TEST(Chain, takes_no_other_body) {
    json more = small_body;
    more["seq"] = "9";
    json less = small_body;
    less.erase("type");
    json other = less;
    other["kind"] = "tick";
    for (const json& wrong : {more, less, other, json::array(), json("x")})
        EXPECT_THROW((void)next_entry("r1", Head{}, wrong), std::invalid_argument);
}

TEST(Chain, finds_what_does_not_follow) {
    const Entry first = next_entry("r1", Head{}, small_body);
    const Entry second = next_entry("r1", after(first), small_body);
    EXPECT_EQ(broken(first, "r1", Head{}), std::nullopt);
    EXPECT_EQ(broken(second, "r1", after(first)), std::nullopt);

    EXPECT_EQ(broken(second, "r1", Head{}),
              "entry 1 of chassis \"r1\" is missing: entry 2 stands in its place");
    Entry altered = second;
    altered.line[7] = '6';
    EXPECT_EQ(broken(altered, "r1", after(first)),
              "entry 2 of chassis \"r1\" was altered: its line does not have the SHA-256 stored "
              "beside it");
    // A line of another chassis, whole in itself, put in its place.
    const Entry foreign = next_entry("r2", after(first), small_body);
    EXPECT_EQ(broken(foreign, "r1", after(first)),
              "entry 2 of chassis \"r1\" was altered: its line names another chassis, place or "
              "entry before");
    // Rewritten together with its hash, but on another past.
    Head elsewhere = after(first);
    elsewhere.hash[0] = elsewhere.hash[0] == '0' ? '1' : '0';
    EXPECT_EQ(broken(next_entry("r1", elsewhere, small_body), "r1", after(first)),
              "entry 2 of chassis \"r1\" does not follow the entry before: it names another hash");
}

} // namespace slotwitness::journal
