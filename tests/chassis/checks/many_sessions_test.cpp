#include "running_chassis.hpp"

#include <slotwitness/chassis/answers.hpp>
#include <slotwitness/chassis/model.hpp>

#include <gmock/gmock.h>
#include <libssh/callbacks.h>
#include <libssh/libssh.h>

#include <algorithm>
#include <memory>

namespace slotwitness::chassis {
namespace {

/// A blocking client: one session, one command. What the server does is what is tested, so the
/// client is as plain as can be.
class Client {
  public:
    explicit Client(const checks::RunningChassis& chassis) {
        ssh_key key = nullptr;
        ok(ssh_pki_import_privkey_file(chassis.file("id").c_str(), nullptr, nullptr, nullptr,
                                       &key));
        const std::unique_ptr<ssh_key_struct, decltype(&ssh_key_free)> owned(key, ssh_key_free);
        const unsigned port = chassis.port();
        const bool read_no_files = false;
        const long seconds = 60;
        const int no_delay = 1;
        ssh_options_set(session_.get(), SSH_OPTIONS_PROCESS_CONFIG, &read_no_files);
        ssh_options_set(session_.get(), SSH_OPTIONS_HOST, "127.0.0.1");
        ssh_options_set(session_.get(), SSH_OPTIONS_PORT, &port);
        ssh_options_set(session_.get(), SSH_OPTIONS_USER, "watcher");
        ssh_options_set(session_.get(), SSH_OPTIONS_TIMEOUT, &seconds);
        ssh_options_set(session_.get(), SSH_OPTIONS_NODELAY, &no_delay);
        ssh_options_set(session_.get(), SSH_OPTIONS_KNOWNHOSTS, "/dev/null");
        ssh_options_set(session_.get(), SSH_OPTIONS_GLOBAL_KNOWNHOSTS, "/dev/null");
        ok(ssh_connect(session_.get()));
        ok(ssh_userauth_publickey(session_.get(), nullptr, key));
    }
    ~Client() { ssh_disconnect(session_.get()); }
    Client(const Client&) = delete;
    Client& operator=(const Client&) = delete;

    void ask(const std::string& command) {
        channel_ = ssh_channel_new(session_.get());
        ok(ssh_channel_open_session(channel_));
        ok(ssh_channel_request_exec(channel_, command.c_str()));
    }

    struct Heard {
        std::string out;
        int status = -1; ///< of a channel that closed without one
    };
    Heard hear() {
        Heard heard;
        char buffer[4096];
        for (int size = 1; size > 0;) {
            size = ssh_channel_read(channel_, buffer, sizeof buffer, 0);
            if (size > 0)
                heard.out.append(buffer, static_cast<std::size_t>(size));
        }
        heard.status = ssh_channel_get_exit_status(channel_);
        return heard;
    }
    bool connected() const {
        return (ssh_get_status(session_.get()) & (SSH_CLOSED | SSH_CLOSED_ERROR)) == 0;
    }

  private:
    void ok(int result) {
        if (result != SSH_OK)
            throw std::runtime_error(ssh_get_error(session_.get()));
    }
    struct Free {
        void operator()(ssh_session session) const { ssh_free(session); }
    };
    std::unique_ptr<ssh_session_struct, Free> session_{ssh_new()};
    ssh_channel channel_ = nullptr; ///< the session frees it
};

class ManySessions : public testing::Test {
  protected:
    static constexpr std::size_t many = 200;
    checks::RunningChassis chassis;
    std::vector<std::unique_ptr<Client>> clients;
    std::string healthy;

    void SetUp() override {
        const auto now = Model(Fitting{}).snapshot();
        healthy = answer("tell ports", now, now).out;
        chassis.start();
        for (std::size_t number = 0; number < many; ++number)
            clients.push_back(std::make_unique<Client>(chassis));
    }
    void ask_all() {
        for (const auto& client : clients)
            client->ask("tell ports");
    }
    std::size_t whole_answers() {
        std::size_t whole = 0;
        for (const auto& client : clients) {
            const auto heard = client->hear();
            whole += heard.status == 0 && heard.out == healthy;
        }
        return whole;
    }
};

TEST_F(ManySessions, two_hundred_at_once_are_all_answered_whole_and_again) {
    ask_all();
    EXPECT_EQ(whole_answers(), many);
    ask_all();
    EXPECT_EQ(whole_answers(), many);
}

TEST_F(ManySessions, a_session_that_is_dropped_takes_no_other_with_it) {
    ASSERT_EQ(chassis.control("fault disconnect once").at("done"), true);
    for (const auto& client : clients)
        try {
            client->ask("tell ports");
        } catch (const std::runtime_error&) {
            // The dropped one may learn it as early as here.
        }
    EXPECT_EQ(whole_answers(), many - 1);
    std::size_t connected = 0;
    for (const auto& client : clients)
        connected += client->connected();
    EXPECT_EQ(connected, many - 1);
}

TEST_F(ManySessions, one_slow_answer_holds_up_no_other) {
    ASSERT_EQ(chassis.control("fault slow 10min once").at("done"), true);
    clients.front()->ask("tell ports");
    // All the others end before the slow one could: none of them waits for it, or the client's
    // time-out of 60 s ends the test.
    for (std::size_t number = 1; number < many; ++number) {
        clients[number]->ask("tell ports");
        EXPECT_EQ(clients[number]->hear().out, healthy);
    }
}

TEST_F(ManySessions, drop_sessions_drops_every_one_and_new_ones_are_welcome) {
    ASSERT_EQ(chassis.control("drop sessions").at("done"), true);
    for (const auto& client : clients)
        EXPECT_THROW(client->ask("tell ports"), std::runtime_error);
    Client again(chassis);
    again.ask("tell ports");
    EXPECT_EQ(again.hear().out, healthy);
}

} // namespace
} // namespace slotwitness::chassis
