#include "files.hpp"
#include "oracle.hpp"

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

#include <ostream>
#include <set>
#include <string>
#include <vector>

/// What profiles read from programs of this machine, beside the same programs' own JSON:
/// util-linux, iproute2 and systemd of Debian. What is compared stands in
/// fixtures/linux/oracles.toml; nothing here knows a program.
namespace slotwitness::profiles {
namespace oracle {

/// In the names of the tests.
void PrintTo(const Program& program, std::ostream* out) {
    *out << program.profile << ' ' << program.query;
}

} // namespace oracle
namespace {

using oracle::Program;
using oracle::Told;

std::vector<Program> programs() {
    return oracle::parse_programs(fixture("linux/oracles.toml"));
}

struct Taken {
    state::Reading reading;
    std::vector<Told> told; ///< by the program's own account
    std::string why;        ///< it could not be taken
};

/// JSON, text and JSON again, back to back: where the two accounts differ in what is compared, the
/// machine has changed in between, and it is asked once more.
Taken take(const Program& program, const Profile& profile) {
    constexpr int most_attempts = 20;
    const auto request = request_bytes(profile, {program.query, {}});
    if (!request)
        return {{}, {}, state::to_text(request.error())};
    for (int attempt = 0; attempt < most_attempts; ++attempt) {
        const auto before = oracle::output_of(program.json);
        const auto text = oracle::output_of(*request);
        const auto after = oracle::output_of(program.json);
        for (const auto& output : {before, text, after})
            if (!output.text)
                return {{}, {}, output.why};
        if (before.text->empty() || after.text->empty())
            return {{}, {}, "\"" + program.json + "\" prints nothing"};
        auto told = oracle::told_by(program, nlohmann::json::parse(*before.text));
        if (told == oracle::told_by(program, nlohmann::json::parse(*after.text)))
            return {read(profile, program.query, *text.text, true), std::move(told), ""};
    }
    return {{}, {}, "what it tells changed each time that it was asked"};
}

std::set<std::string> tried;
std::set<std::string> compared;

class LinuxProgram : public testing::TestWithParam<Program> {};

TEST_P(LinuxProgram, says_in_text_what_it_says_in_json) {
    const Program& program = GetParam();
    tried.insert(program.profile + " " + program.query);
    const Profile profile = profile_of("linux/" + program.profile);
    const Taken taken = take(program, profile);
    if (!taken.why.empty())
        GTEST_SKIP() << taken.why;
    EXPECT_EQ(oracle::told_by(program, taken.reading), taken.told) << to_text(taken.reading);
    EXPECT_THAT(taken.reading.remarks, testing::IsEmpty()) << to_text(taken.reading);
    std::vector<std::string> unread;
    for (const state::UnreadLine& line : taken.reading.unread)
        unread.push_back(line.text);
    std::vector<std::string> expected = program.unread;
    for (std::string& line : expected)
        if (line.starts_with('N'))
            line.replace(0, 1, std::to_string(taken.told.size()));
    EXPECT_EQ(unread, expected) << to_text(taken.reading);
    compared.insert(program.json.substr(0, program.json.find(' ')) + " " + program.query);
}

INSTANTIATE_TEST_SUITE_P(Oracles, LinuxProgram, testing::ValuesIn(programs()),
                         [](const auto& info) {
                             std::string name = info.param.profile + "_" + info.param.query;
                             name.erase(name.find(".toml"), 5);
                             for (char& byte : name)
                                 byte = byte == '-' ? '_' : byte;
                             return name;
                         });

/// An oracle that is skipped everywhere is none: most of these programs are on any Debian system.
class Enough : public testing::Environment {
    void TearDown() override {
        constexpr std::size_t least = 8;
        if (tried.size() == programs().size()) {
            EXPECT_GE(compared.size(), least) << testing::PrintToString(compared);
        }
    }
};
const auto* const enough = testing::AddGlobalTestEnvironment(new Enough);

void expect_refused(const std::string& answer) {
    const auto reading = read(profile_of("linux/ss.toml"), "sockets", answer, true);
    EXPECT_THAT(reading.rows, testing::IsEmpty());
    ASSERT_FALSE(reading.unread.empty());
    EXPECT_EQ(reading.unread.front().line, 1U);
    for (const state::UnreadLine& line : reading.unread)
        EXPECT_THAT(line.expected,
                    testing::StartsWith("the header \"State\" \"Recv-Q\" \"Send-Q\""));
}

TEST(LinuxSockets, whose_last_two_headings_run_together_are_refused) {
    // As iproute2 6.1 prints it.
    expect_refused("State  Recv-Q Send-Q Local Address:Port Peer Address:PortProcess\n"
                   "LISTEN 0      128          0.0.0.0:2024      0.0.0.0:*          \n");
    const auto live = oracle::output_of("ss -l -t -n");
    if (!live.text)
        GTEST_SKIP() << live.why;
    expect_refused(*live.text);
}

TEST(LinuxLinks, with_a_peer_are_named_without_it) {
    // As iproute2 prints one end of a veth pair.
    const auto reading = read(
        profile_of("linux/ip-br-link.toml"), "links",
        "veth0@veth1      DOWN           5a:b2:37:56:a7:22 <BROADCAST,MULTICAST,M-DOWN> \n"
        "veth2@if5        LOWERLAYERDOWN 5a:b2:37:56:a7:23 <NO-CARRIER,BROADCAST,MULTICAST,UP> \n",
        true);
    EXPECT_EQ(to_text(reading), "lists port\n"
                                "1:1 port veth0\n"
                                "  1:18 oper: disabled\n"
                                "2:1 port veth2\n"
                                "  2:18 oper: disabled\n");
}

} // namespace
} // namespace slotwitness::profiles
