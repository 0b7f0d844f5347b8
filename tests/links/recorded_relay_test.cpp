#include "chassis_server.hpp"
#include "relay_fixture.hpp"

#include <gmock/gmock.h>

#include <fstream>

namespace slotwitness::links::test {
namespace {

/// The simulated chassis, which writes down each byte that reaches it. What is typed into its shell
/// is known to the byte; a session that ends early has heard the beginning.
class RecordedRelayTest : public RelayTest {
  protected:
    void serve_chassis(profiles::Reach::By by) {
        sshd_.reset();
        server_ = std::make_unique<ChassisServer>();
        target_ = server_->target();
        target_.host_keys = {fingerprint_of(target_.known_hosts)};
        asking_ = {};
        asking_.query = "tell modules";
        const bool is_shell = by == profiles::Reach::By::shell;
        if (is_shell)
            asking_.limits = in_a_shell({}, "session-queries = [\"page off\"]");
        std::ifstream file(SLOTWITNESS_FIXTURES "/quillon/healthy/modules.txt");
        for (std::string line; std::getline(file, line);)
            asking_.right.bytes.append(line).append(is_shell ? "\r\n" : "\n");
        asking_.right.ended = true;
        asking_.right.exit_status = 0;
        little_ = units::Duration(300);
    }
    /// Of what the chassis heard in each session.
    template <typename Check>
    void expect_of_each(Check check) const {
        const auto all = server_->heard();
        std::size_t whole = 0;
        for (const auto& heard : all)
            whole += check(heard) ? 1 : 0;
        EXPECT_GE(whole, all.size() / 4) << "of " << all.size() << " few came to their end";
    }
    void sweep_chassis(profiles::Reach::By by) {
        serve_chassis(by);
        warm_up();
        server_.reset();
        finish(loop_);
        const auto before = open_descriptors();
        serve_chassis(by);
        sweep_all(307, 1009);
        by == profiles::Reach::By::shell ? expect_typed() : expect_commands();
        server_.reset();
        EXPECT_EQ(open_descriptors(), before);
    }
    void expect_typed() const {
        const std::string all = "\rpage off\r\rtell modules\r\r";
        expect_of_each([&all](const ChassisServer::Heard& heard) {
            EXPECT_THAT(heard.requests, ::testing::IsSubsetOf({"service", "auth", "channel", "pty",
                                                               "shell", "data"}));
            EXPECT_TRUE(all.starts_with(heard.typed)) << ::testing::PrintToString(heard.typed);
            return heard.typed == all;
        });
    }
    void expect_commands() const {
        expect_of_each([](const ChassisServer::Heard& heard) {
            EXPECT_THAT(heard.requests,
                        ::testing::IsSubsetOf({"service", "auth", "channel", "exec"}));
            EXPECT_LE(heard.commands.size(), 1U);
            for (const std::string& command : heard.commands)
                EXPECT_EQ(command, "tell modules");
            EXPECT_EQ(heard.typed, "");
            return heard.commands.size() == 1;
        });
    }

    std::unique_ptr<ChassisServer> server_;
};

TEST_F(RecordedRelayTest, after_no_fault_does_a_command_link_send_what_is_not_on_the_list) {
    sweep_chassis(profiles::Reach::By::command);
}

TEST_F(RecordedRelayTest, after_no_fault_does_a_shell_link_send_what_is_not_on_the_list) {
    sweep_chassis(profiles::Reach::By::shell);
}

} // namespace
} // namespace slotwitness::links::test
