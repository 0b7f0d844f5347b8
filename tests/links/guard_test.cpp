#include <slotwitness/links/guard.hpp>

#include <gtest/gtest.h>
#include <rapidcheck.h>

#include <type_traits>

namespace slotwitness::links::test {
namespace {

// Nobody but the guard makes an approved query: not from text, not from nothing, not by writing
// into one.
static_assert(!std::is_default_constructible_v<ApprovedQuery>);
static_assert(!std::is_constructible_v<ApprovedQuery, std::string, std::string>);
static_assert(!std::is_constructible_v<ApprovedQuery, const char*, const char*>);
static_assert(!std::is_aggregate_v<ApprovedQuery>);
static_assert(std::is_same_v<decltype(std::declval<ApprovedQuery&>().bytes()), const std::string&>);
static_assert(std::is_same_v<decltype(std::declval<ApprovedQuery&>().key()), const std::string&>);

profiles::Profile profile() {
    profiles::Profile profile;
    profile.parameters["module"] = {"ABCDEF0123456789", 5};
    profile.parameters["port"] = {"eth0123456789-", 8};
    auto add = [&profile](std::string id, std::vector<profiles::Word> ask) {
        profiles::Query query;
        query.id = id;
        query.ask = std::move(ask);
        profile.queries.emplace(std::move(id), std::move(query));
    };
    add("planes", {"tell", "planes"});
    add("module-detail", {"tell", "module", profiles::Parameter{"module"}});
    add("path", {"tell", "path", profiles::Parameter{"module"}, "to", profiles::Parameter{"port"}});
    return profile;
}

/// The closed list, told once more without the code under test: whether `word` may stand for a
/// parameter.
bool may_stand(std::string_view word, std::string_view alphabet, std::size_t longest) {
    return !word.empty() && word.size() <= longest &&
           word.find_first_not_of(alphabet) == std::string_view::npos;
}

bool on_the_list(std::string_view bytes) {
    constexpr std::string_view module = "ABCDEF0123456789";
    constexpr std::string_view port = "eth0123456789-";
    if (bytes == "tell planes") {
        return true;
    }
    constexpr std::string_view detail = "tell module ";
    if (bytes.starts_with(detail)) {
        return may_stand(bytes.substr(detail.size()), module, 5);
    }
    constexpr std::string_view path = "tell path ";
    if (bytes.starts_with(path)) {
        const auto rest = bytes.substr(path.size());
        const auto to = rest.find(" to ");
        return to != std::string_view::npos && may_stand(rest.substr(0, to), module, 5) &&
               may_stand(rest.substr(to + 4), port, 8);
    }
    return false;
}

TEST(GuardTest, a_listed_query_leaves_as_the_profile_writes_it) {
    const auto listed = profile();
    const auto query = Guard(listed).approve({"path", {{"module", "FAB3"}, {"port", "eth1"}}});
    ASSERT_TRUE(query);
    EXPECT_EQ(query->bytes(), "tell path FAB3 to eth1");
    EXPECT_EQ(query->key(), "path FAB3 eth1");
}

TEST(GuardTest, what_is_not_listed_does_not_leave) {
    const auto listed = profile();
    const Guard guard(listed);
    const std::vector<profiles::Asking> refused{
        {"", {}},
        {"reload", {}},
        {"tell planes", {}},
        {"planes; reload", {}},
        {"module-detail", {}},
        {"module-detail", {{"module", ""}}},
        {"module-detail", {{"module", "ABCDEF"}}},
        {"module-detail", {{"module", "fab3"}}},
        {"module-detail", {{"module", "FAB 3"}}},
        {"module-detail", {{"module", "FAB3\n"}}},
        {"module-detail", {{"module", std::string("FAB\0", 4)}}},
        {"module-detail", {{"module", "A;B"}}},
        {"module-detail", {{"port", "eth1"}}},
        {"path", {{"module", "FAB3"}}},
    };
    for (const auto& asking : refused) {
        const auto query = guard.approve(asking);
        ASSERT_FALSE(query) << query->bytes();
        EXPECT_FALSE(query.error().expected.empty());
        EXPECT_FALSE(query.error().remedy.empty());
    }
}

rc::Gen<std::string> any_value() {
    const auto bad = std::string("eth- \n\r\t;|&$`'\"\\\x1b?.:/%").append(1, '\0');
    const auto likely =
        rc::gen::container<std::string>(rc::gen::elementOf(std::string("ABCDEF0123456789") + bad));
    const auto good = rc::gen::resize(
        6, rc::gen::container<std::string>(rc::gen::elementOf(std::string("ABCDEF019"))));
    return rc::gen::oneOf(likely, good, rc::gen::arbitrary<std::string>());
}

TEST(GuardTest, whatever_is_asked_only_bytes_of_the_closed_list_leave) {
    const auto listed = profile();
    const Guard guard(listed);
    std::size_t approved = 0;
    std::size_t refused = 0;
    const bool held = rc::check("approved bytes are on the list", [&] {
        profiles::Asking asking;
        asking.query = *rc::gen::weightedOneOf<std::string>(
            {{9, rc::gen::elementOf(
                     std::vector<std::string>{"planes", "module-detail", "path", "reload"})},
             {1, any_value()}});
        const auto name =
            rc::gen::elementOf(std::vector<std::string>{"module", "port", "module\n", ""});
        asking.parameters = *rc::gen::resize(
            4, rc::gen::container<std::map<std::string, std::string>>(name, any_value()));
        const auto query = guard.approve(asking);
        ++(query ? approved : refused);
        RC_ASSERT(!query || on_the_list(query->bytes()));
    });
    EXPECT_TRUE(held);
    EXPECT_GT(approved, 0u); // else the property says nothing
    EXPECT_GT(refused, 0u);
}

} // namespace
} // namespace slotwitness::links::test
