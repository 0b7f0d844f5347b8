#include "command_line.hpp"

#include <gmock/gmock.h>

#include <algorithm>
#include <set>
#include <sstream>
#include <string>

namespace slotwitness::program {
namespace {

/// The man page, with the hyphens as a reader sees them.
std::string config_page() {
    std::string text =
        live::run({"cat", SLOTWITNESS_TESTS "/../daemon/manual/slotwitness.toml.5.in"}).output;
    for (std::size_t at = 0; (at = text.find("\\-", at)) != std::string::npos;)
        text.erase(at, 1);
    return text;
}

/// The keys that the reader of the configuration knows: it tells them where it meets another one.
std::set<std::string> known_keys(const std::string& problems) {
    constexpr const char* of_a_key = "abcdefghijklmnopqrstuvwxyz-";
    std::set<std::string> keys;
    std::istringstream lines(problems);
    for (std::string line; std::getline(lines, line);) {
        const std::size_t told = line.find("found \"zz\", expected in ");
        if (told == std::string::npos)
            continue;
        // "in [daemon] one of journal, listen; …", "in [chassis.peak] load; …"
        std::size_t list = line.find(" one of ", told);
        list = list == std::string::npos ? line.find("] ", told) + 2 : list + 8;
        line = line.substr(list, line.find(';', list) - list);
        for (std::size_t at = 0, end = 0; at < line.size(); at = end + 1) {
            end = std::min(line.find_first_not_of(of_a_key, at), line.size());
            if (end > at)
                keys.insert(line.substr(at, end - at));
        }
    }
    return keys;
}

TEST_F(CommandLine, the_man_page_of_the_configuration_names_every_key_that_is_known) {
    const std::string unknown = "zz = 1\n";
    const Ran ran =
        run({"look", "--config",
             write("slotwitness.toml",
                   unknown + "[daemon]\njournal = \"j\"\n" + unknown +
                       "[daemon.tls]\ncertificate = \"c\"\nkey = \"k\"\n" + unknown +
                       "[[bastion]]\nname = \"b\"\n" + unknown + "[[chassis]]\n" + whole_chassis() +
                       unknown + "[chassis.algorithms]\n" + unknown + "[chassis.pace]\n" + unknown +
                       "[chassis.inventory]\n" + unknown + "[chassis.peak]\n" + unknown)});
    EXPECT_EQ(ran.status, 78);
    const auto keys = known_keys(ran.output);
    // One of each table, so that none was passed over.
    EXPECT_THAT(keys, testing::IsSupersetOf({"bastion", "listen", "certificate", "through", "kex",
                                             "pending", "fan-tray", "load"}))
        << ran.output;
    const std::string page = config_page();
    for (const std::string& key : keys)
        EXPECT_THAT(page, testing::ContainsRegex("[^a-z-]" + key + "[^a-z-]"));
}

} // namespace
} // namespace slotwitness::program
