#include "files.hpp"

#include <gmock/gmock.h>

namespace slotwitness::profiles {
namespace {

using testing::HasSubstr;

/// What is wrong with a profile whose one query is asked so.
std::string problems_of(const std::string& reach, const std::string& asked) {
    const auto profile = parse_profile("[profile]\nformat = 1\nfamily = \"Test\"\n[reach]\n" +
                                           reach + "[query.hardware]\n" + asked +
                                           "layout = \"hardware-xml\"\n"
                                           "[query.hardware.hardware-xml]\n",
                                       "p.toml");
    std::string problems;
    if (!profile)
        for (const state::Problem& problem : profile.error())
            problems += state::to_text(problem) + "\n";
    return problems;
}

const std::string over_netconf = "by = \"netconf\"\n";
const std::string hardware = "get = { element = \"hardware\", namespace = "
                             "\"urn:ietf:params:xml:ns:yang:ietf-hardware\" }\n";

TEST(NetconfProfile, asks_by_a_subtree_filter_that_it_makes_itself) {
    EXPECT_EQ(request_bytes(profile_of("netconf/ietf-hardware.toml"), {"hardware", {}}),
              R"(<hardware xmlns="urn:ietf:params:xml:ns:yang:ietf-hardware"/>)");
    EXPECT_EQ(problems_of(over_netconf, hardware), "");
}

TEST(NetconfProfile, names_each_fault_with_its_place) {
    struct Case {
        std::string reach, asked, problem;
    };
    for (const Case& fault : {
             Case{"by = \"telnet\"\n", hardware, "p.toml:5:6: found \"telnet\""},
             Case{over_netconf + "parallel = 2\n", hardware, "expected 1 unless by = \"command\""},
             Case{over_netconf, "", "expected the key \"get\" in [query.hardware]"},
             Case{over_netconf, "ask = [\"tell\", \"hardware\"]\n", "found \"ask\""},
             Case{"", hardware, "found \"get\""},
             Case{over_netconf, "get = \"hardware\"\n", "found \"hardware\", expected a table"},
             Case{over_netconf, "get = { element = \"hardware\" }\n", "the key \"namespace\""},
             Case{over_netconf, "get = { element = \"\", namespace = \"urn:x\" }\n", "element"},
             Case{over_netconf, "get = { element = \"h/>\", namespace = \"urn:x\" }\n",
                  "found \"h/>\""},
             Case{over_netconf, "get = { element = \"hw:hardware\", namespace = \"urn:x\" }\n",
                  "without a prefix"},
             Case{over_netconf, "get = { element = \"h\", namespace = \"urn:x'><y\" }\n",
                  "found \"urn:x'><y\""},
             Case{over_netconf, "get = { element = \"h\", namespace = \"urn:x\", filter = \"\" }\n",
                  "found \"filter\""},
         })
        EXPECT_THAT(problems_of(fault.reach, fault.asked), HasSubstr(fault.problem)) << fault.asked;
}

} // namespace
} // namespace slotwitness::profiles
