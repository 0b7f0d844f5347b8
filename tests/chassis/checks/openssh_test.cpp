#include "running_chassis.hpp"

#include <slotwitness/chassis/answers.hpp>
#include <slotwitness/chassis/model.hpp>

#include <gmock/gmock.h>

#include <csignal>
#include <fstream>

// What OpenSSH's client, a program that nobody here wrote, makes of the running chassis.
namespace slotwitness::chassis {
namespace {

using testing::AllOf;
using testing::AnyOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

constexpr int lost = 255; // ssh(1): "exits with the exit status of the remote command or with 255
                          // if an error occurred"

class OpenSsh : public testing::Test {
  protected:
    checks::RunningChassis chassis;

    void order(const std::string& line) {
        const auto reply = chassis.control(line);
        ASSERT_EQ(reply.at("done"), true) << reply;
    }
    std::string healthy(const std::string& query) {
        const auto now = Model(Fitting{}).snapshot();
        return answer("tell " + query, now, now).out;
    }
    std::vector<std::string> bytes_of(const std::string& type) {
        std::vector<std::string> all;
        for (const auto& line : chassis.recorded())
            if (line.at("type") == type)
                all.push_back(line.at("bytes"));
        return all;
    }
};

TEST_F(OpenSsh, every_table_arrives_byte_for_byte_with_status_0) {
    chassis.start();
    for (const auto& query : tell_words()) {
        const auto ran = chassis.ssh("tell " + query);
        EXPECT_EQ(ran.status, 0) << ran.output;
        if (query != "chassis") {
            EXPECT_EQ(ran.output, healthy(query));
        } else {
            EXPECT_THAT(ran.output, HasSubstr("Serial: QL40000017\n"));
        }
    }
}

TEST_F(OpenSsh, an_unknown_command_has_status_1_and_its_text_on_the_error_stream) {
    chassis.start();
    const auto ran = chassis.ssh("tell everything");
    EXPECT_EQ(ran.status, 1);
    EXPECT_EQ(ran.output, "This is no command here: tell everything\n");
}

TEST_F(OpenSsh, a_refused_command_has_status_1) {
    chassis.start();
    order("fault refuse-command");
    const auto ran = chassis.ssh("tell planes");
    EXPECT_EQ(ran.status, 1);
    EXPECT_EQ(ran.output, "This account may not ask that.\n");
}

TEST_F(OpenSsh, a_key_that_is_not_authorised_is_refused) {
    chassis.start();
    const auto ran = chassis.ssh("tell planes", {}, "stranger");
    EXPECT_EQ(ran.status, lost);
    EXPECT_THAT(ran.output, HasSubstr("Permission denied (publickey)"));
    EXPECT_THAT(bytes_of("exec"), IsEmpty());
}

TEST_F(OpenSsh, refuse_auth_refuses_the_right_key_too) {
    chassis.start();
    order("fault refuse-auth once");
    EXPECT_THAT(chassis.ssh("tell planes").output, HasSubstr("Permission denied (publickey)"));
    EXPECT_EQ(chassis.ssh("tell planes").status, 0);
}

TEST_F(OpenSsh, a_changed_host_key_is_noticed_and_the_old_one_comes_back) {
    chassis.start();
    order("fault change-host-key once");
    const auto ran = chassis.ssh("tell planes");
    EXPECT_EQ(ran.status, lost);
    EXPECT_THAT(ran.output, HasSubstr("REMOTE HOST IDENTIFICATION HAS CHANGED"));
    EXPECT_EQ(chassis.ssh("tell planes").status, 0);
}

TEST_F(OpenSsh, a_cut_answer_ends_without_an_exit_status) {
    chassis.start();
    order("fault cut 200");
    const auto ran = chassis.ssh("tell planes");
    EXPECT_EQ(ran.status, lost);
    EXPECT_EQ(ran.output, healthy("planes").substr(0, 200));
}

TEST_F(OpenSsh, disconnect_loses_the_connection_after_half_of_the_answer) {
    chassis.start();
    order("fault disconnect once");
    const auto ran = chassis.ssh("tell planes");
    EXPECT_EQ(ran.status, lost);
    const auto whole = healthy("planes");
    EXPECT_THAT(ran.output,
                AllOf(HasSubstr(whole.substr(0, whole.size() / 2)), Not(HasSubstr(whole))));
    EXPECT_EQ(chassis.ssh("tell planes").output, whole);
}

TEST_F(OpenSsh, shell_subsystem_and_forwarding_are_refused_and_recorded) {
    chassis.start();
    EXPECT_EQ(chassis.ssh("").status, lost);
    EXPECT_THAT(bytes_of("shell"), ElementsAre(""));
    EXPECT_EQ(chassis.ssh("sftp", {"-s"}).status, lost);
    EXPECT_THAT(bytes_of("subsystem"), ElementsAre("sftp"));
    EXPECT_NE(chassis.ssh("", {"-W", "127.0.0.1:9"}).status, 0);
    EXPECT_THAT(bytes_of("channel"), ElementsAre("session", "session", "refused"));
    EXPECT_THAT(bytes_of("exec"), IsEmpty());
}

TEST_F(OpenSsh, what_was_asked_is_recorded_byte_for_byte) {
    chassis.start({"--name", "edge-7"});
    EXPECT_EQ(chassis.ssh("tell planes").status, 0);
    EXPECT_EQ(chassis.ssh("a \"b\" \xc3\xa9 \x01").status, 1);
    // Each byte stands as the character of its value.
    EXPECT_THAT(bytes_of("exec"), ElementsAre("tell planes", "a \"b\" \u00c3\u00a9 \x01"));
    for (const auto& line : chassis.recorded()) {
        EXPECT_EQ(line.at("chassis"), "edge-7");
        EXPECT_GT(line.at("time"), 1'700'000'000'000);
        EXPECT_THAT(line.at("session"), AnyOf(1, 2));
    }
}

TEST_F(OpenSsh, orders_on_the_control_socket_show_in_the_tables) {
    chassis.start({"--refresh", "1ms", "--speed", "1000"});
    order("engineer release plane 3");
    // At this speed the second that a plane eases is over in a millisecond; ask until it shows.
    std::string planes;
    do
        planes = chassis.ssh("tell planes").output;
    while (planes.find("3      easing") != std::string::npos);
    EXPECT_THAT(planes, HasSubstr("3      released  dark"));
    EXPECT_EQ(chassis.control("engineer relese plane 3").at("expected"), "release, engage, lead");
}

TEST_F(OpenSsh, several_chassis_have_names_serials_ports_and_keys_of_their_own) {
    chassis.start({"--chassis", "3", "--name", "edge", "--serial", "QL40000099"});
    const auto& all = chassis.ready().at("chassis");
    ASSERT_EQ(all.size(), 3u);
    EXPECT_EQ(all[2].at("name"), "edge-3");
    EXPECT_EQ(all[2].at("serial"), "QL40000101");
    EXPECT_NE(all[0].at("host_key"), all[1].at("host_key"));
    order("at edge-2 technician pull tray TRAY1");
    order("technician pull tray TRAY3");
    for (const auto& one : all) {
        const std::string port = std::to_string(one.at("port").get<int>());
        const auto alarms = chassis.ssh("tell alarms", {"-p", port}).output;
        EXPECT_EQ(alarms.find("TRAY1") != std::string::npos, one.at("name") == "edge-2") << alarms;
        EXPECT_EQ(alarms.find("TRAY3") != std::string::npos, one.at("name") == "edge-1") << alarms;
    }
    EXPECT_EQ(chassis.control("at edge-4 state").at("expected"), "edge-1 to edge-3");
}

TEST_F(OpenSsh, the_same_host_key_file_gives_the_same_key) {
    chassis.start();
    const auto key = chassis.ready().at("chassis")[0].at("host_key");
    chassis.process().signal(SIGTERM);
    EXPECT_EQ(chassis.process().wait(), 0);
    EXPECT_FALSE(std::filesystem::exists(chassis.file("control")));
    chassis.start();
    EXPECT_EQ(chassis.ready().at("chassis")[0].at("host_key"), key);
    const auto permissions = std::filesystem::status(chassis.file("host_key")).permissions();
    EXPECT_EQ(permissions & std::filesystem::perms::all,
              std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
    chassis.process().signal(SIGINT);
    EXPECT_EQ(chassis.process().wait(), 0);
}

TEST_F(OpenSsh, a_socket_left_behind_by_a_killed_chassis_is_taken_over_but_a_live_one_is_not) {
    chassis.start();
    const auto second = live::run(chassis.command({}));
    EXPECT_EQ(second.status, 73);
    EXPECT_THAT(second.output, HasSubstr("control: Address already in use"));
    EXPECT_EQ(chassis.control("state").at("done"), true);
    chassis.process().signal(SIGKILL);
    EXPECT_EQ(chassis.process().wait(), 128 + SIGKILL);
    chassis.start();
    EXPECT_EQ(chassis.control("state").at("done"), true);
}

TEST_F(OpenSsh, bad_options_end_it_with_the_place_and_a_remedy) {
    const auto program = [&](std::vector<std::string> options) {
        return live::run(chassis.command(options));
    };
    auto ran = program({"--refresh", "2 weeks"});
    EXPECT_EQ(ran.status, 64);
    EXPECT_THAT(ran.output, HasSubstr("expected a whole number of s or ms"));
    EXPECT_EQ(program({"--speed", "0"}).status, 64);
    EXPECT_EQ(program({"--chassis", "1000"}).status, 64);
    EXPECT_EQ(live::run({SLOTWITNESS_BIN "/slotwitness-chassis"}).status, 64);

    std::ofstream(chassis.file("id.pub")) << "# a comment\n\nssh-ed25519 no-base64 x\n";
    ran = program({});
    EXPECT_EQ(ran.status, 66);
    EXPECT_THAT(ran.output, HasSubstr("id.pub:3: no public key"));
    std::filesystem::remove(chassis.file("id.pub"));
    EXPECT_EQ(program({}).status, 66);
}

TEST_F(OpenSsh, a_taken_port_and_a_file_that_is_no_key_are_named) {
    chassis.start();
    const std::string port = std::to_string(chassis.port());
    auto words = chassis.command({});
    words[2] = port;
    auto ran = live::run(words);
    EXPECT_EQ(ran.status, 73);
    EXPECT_THAT(ran.output, HasSubstr("port " + port + ": Address already in use"));
    std::ofstream(chassis.file("no_key")) << "nothing\n";
    words[4] = chassis.file("no_key");
    ran = live::run(words);
    EXPECT_EQ(ran.status, 66);
    EXPECT_THAT(ran.output, HasSubstr("no_key: no private key"));
}

} // namespace
} // namespace slotwitness::chassis
