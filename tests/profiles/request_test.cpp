#include "files.hpp"

#include <gmock/gmock.h>
#include <rapidcheck.h>

#include <algorithm>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;
using namespace std::chrono_literals;

Profile quillon() {
    return profile_of("quillon/profile.toml");
}

TEST(Request, is_the_words_of_the_profile_joined_by_blanks) {
    EXPECT_EQ(request_bytes(quillon(), {"planes", {}}), "tell planes");
    EXPECT_EQ(request_bytes(quillon(), {"module-detail", {{"module", "FAB3"}}}),
              "tell module FAB3");
}

TEST(Request, never_leaves_with_anything_outside_the_profile) {
    const Profile profile = quillon();
    const auto refused = [&](const Asking& asking) {
        const auto bytes = request_bytes(profile, asking);
        return bytes ? "sent: " + *bytes : state::to_text(bytes.error());
    };
    EXPECT_THAT(refused({"reload", {}}),
                HasSubstr("expected a query of the profile: alarms, chassis"));
    EXPECT_THAT(refused({"module-detail", {}}), HasSubstr("expected the parameter \"module\""));
    EXPECT_THAT(refused({"planes", {{"module", "FAB3"}}}), HasSubstr("Leave the parameter out"));
    for (const char* value :
         {"", "fab3", "FAB3 ", "FAB3;X", "FAB3\nX", "F\xc3\xa4", "FAB345678", "$(X)"})
        EXPECT_THAT(refused({"module-detail", {{"module", value}}}),
                    HasSubstr("for the parameter \"module\""))
            << value;
}

TEST(Request, takes_no_value_that_could_be_an_option) {
    Profile profile = quillon();
    profile.parameters.at("module") = {"-a", 8};
    EXPECT_TRUE(request_bytes(profile, {"module-detail", {{"module", "a-a"}}}));
    EXPECT_FALSE(request_bytes(profile, {"module-detail", {{"module", "-a"}}}));
}

TEST(Request, holds_only_bytes_of_the_closed_alphabets_whatever_is_asked) {
    const Profile profile = quillon();
    EXPECT_TRUE(rc::check([&](const std::string& value) {
        const auto bytes = request_bytes(profile, {"module-detail", {{"module", value}}});
        if (!bytes)
            return;
        RC_ASSERT(*bytes == "tell module " + value);
        RC_ASSERT(value.size() <= 8U);
        RC_ASSERT(std::all_of(value.begin(), value.end(), [](char byte) {
            return (byte >= 'A' && byte <= 'Z') || (byte >= '0' && byte <= '9');
        }));
    }));
}

TEST(Key, names_an_asking_and_leads_back_to_it) {
    const Profile profile = quillon();
    const Asking detail{"module-detail", {{"module", "FAB3"}}};
    EXPECT_EQ(detail.key(), "module-detail FAB3");
    EXPECT_EQ(from_key(profile, "module-detail FAB3"), detail);
    for (const Asking& asking : all_queries(profile))
        EXPECT_EQ(from_key(profile, asking.key()), asking);
}

TEST(Key, of_nothing_in_the_profile_is_nothing) {
    const Profile profile = quillon();
    for (const char* key :
         {"", " ", "plane", "planes ", "planes x", "module-detail", "module-detail ",
          "module-detail fab3", "module-detail FAB3 x", " planes", "module-detail  FAB3"})
        EXPECT_EQ(from_key(profile, key), std::nullopt) << '"' << key << '"';
}

TEST(Queries, without_parameters_are_what_a_look_asks) {
    const auto askings = all_queries(quillon());
    EXPECT_EQ(askings.size(), 10U);
    EXPECT_TRUE(std::none_of(askings.begin(), askings.end(),
                             [](const Asking& asking) { return asking.query == "module-detail"; }));
}

TEST(Refresh, is_the_largest_of_the_queries_asked) {
    Profile profile = quillon();
    EXPECT_EQ(refresh_of(profile, {{"alarms", {}}}), 0ms);
    EXPECT_EQ(refresh_of(profile, {{"alarms", {}}, {"planes", {}}}), 2s);
    profile.queries.at("modules").refresh = 7s;
    EXPECT_EQ(refresh_of(profile, {{"modules", {}}, {"planes", {}}, {"nonsense", {}}}), 7s);
    EXPECT_EQ(refresh_of(profile, {}), 0ms);
}

} // namespace
} // namespace slotwitness::profiles
