#include "../links/support.hpp"
#include "section.hpp"

#include <libssh/libssh.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <random>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

extern char** environ;

namespace slotwitness::bench {
namespace {

using Clock = std::chrono::steady_clock;

constexpr units::Duration long_enough{60'000};
const std::string command = "echo slotwitness";
const std::string expected = "slotwitness\n";

/// Ours: the link as the daemon has it, on a loop.
class OurLink {
  public:
    explicit OurLink(const links::Target& target)
        : link_(links::make_ssh_link(loop_.get_executor(), target, {long_enough})) {}

    [[nodiscard]] bool connect() {
        const auto connecting = [this]() -> boost::asio::awaitable<bool> {
            const auto done = co_await link_->connect();
            co_return done.has_value();
        };
        return links::test::run(loop_, connecting());
    }
    [[nodiscard]] std::string ask() {
        const auto asking = [this]() -> boost::asio::awaitable<std::string> {
            auto query = links::test::approved(command);
            auto answer = co_await link_->ask(std::move(query));
            co_return answer ? std::move(answer->bytes) : std::string();
        };
        return links::test::run(loop_, asking());
    }
    [[nodiscard]] links::Agreed agreed() const { return link_->reached().value().agreed; }

  private:
    boost::asio::io_context loop_;
    std::unique_ptr<links::Link> link_;
};

/// The least that a program over libssh does: blocking calls, one after the other, nothing checked.
class BareLoop {
  public:
    BareLoop() : ssh_(ssh_new()) {}
    ~BareLoop() {
        ssh_disconnect(ssh_);
        ssh_free(ssh_);
    }
    BareLoop(const BareLoop&) = delete;
    BareLoop& operator=(const BareLoop&) = delete;

    [[nodiscard]] bool connect(const links::Target& target, const links::Agreed& as) {
        const int no = 0;
        const unsigned port = target.port;
        ssh_options_set(ssh_, SSH_OPTIONS_PROCESS_CONFIG, &no);
        ssh_options_set(ssh_, SSH_OPTIONS_HOST, target.host.c_str());
        ssh_options_set(ssh_, SSH_OPTIONS_PORT, &port);
        ssh_options_set(ssh_, SSH_OPTIONS_USER, target.user.c_str());
        ssh_options_set(ssh_, SSH_OPTIONS_CIPHERS_C_S, as.cipher_to.c_str());
        ssh_options_set(ssh_, SSH_OPTIONS_CIPHERS_S_C, as.cipher_from.c_str());
        const int yes = 1;
        ssh_options_set(ssh_, SSH_OPTIONS_NODELAY, &yes);
        ssh_key key = nullptr;
        const bool let_in = ssh_connect(ssh_) == SSH_OK &&
                            ssh_pki_import_privkey_file(target.key_file.c_str(), nullptr, nullptr,
                                                        nullptr, &key) == SSH_OK &&
                            ssh_userauth_publickey(ssh_, nullptr, key) == SSH_AUTH_SUCCESS;
        ssh_key_free(key);
        return let_in;
    }
    [[nodiscard]] std::string ask() {
        ssh_channel channel = ssh_channel_new(ssh_);
        std::string answer;
        if (ssh_channel_open_session(channel) == SSH_OK &&
            ssh_channel_request_exec(channel, command.c_str()) == SSH_OK) {
            char buffer[4096];
            for (int size = 0; (size = ssh_channel_read(channel, buffer, sizeof(buffer), 0)) > 0;)
                answer.append(buffer, static_cast<std::size_t>(size));
            static_cast<void>(ssh_channel_get_exit_status(channel));
        }
        ssh_channel_close(channel);
        ssh_channel_free(channel);
        return answer;
    }

  private:
    ssh_session ssh_;
};

/// What OpenSSH's client takes for a query over a connection that it keeps open: a process, and a
/// channel of its master.
class Multiplexed {
  public:
    Multiplexed(const links::Target& target, const links::Agreed& as, std::string control)
        : control_(std::move(control)), port_(std::to_string(target.port)),
          place_(target.user + "@" + target.host), key_(target.key_file),
          known_("UserKnownHostsFile=" + target.known_hosts), cipher_(as.cipher_to) {}
    ~Multiplexed() {
        static_cast<void>(output_of({"ssh", "-F", "none", "-S", control_, "-O", "exit", place_}));
    }
    Multiplexed(const Multiplexed&) = delete;
    Multiplexed& operator=(const Multiplexed&) = delete;

    /// It goes into the background once it is connected.
    [[nodiscard]] bool connect() const {
        static_cast<void>(output_of({"ssh",  "-F",
                                     "none", "-M",
                                     "-S",   control_,
                                     "-f",   "-N",
                                     "-p",   port_,
                                     "-i",   key_,
                                     "-c",   cipher_,
                                     "-o",   known_,
                                     "-o",   "BatchMode=yes",
                                     "-o",   "GlobalKnownHostsFile=/dev/null",
                                     place_}));
        return ask() == expected;
    }
    [[nodiscard]] std::string ask() const {
        return output_of(
            {"ssh", "-F", "none", "-S", control_, "-o", "BatchMode=yes", place_, command});
    }

  private:
    [[nodiscard]] static std::string output_of(std::vector<std::string> words) {
        int ends[2] = {};
        if (::pipe(ends) != 0)
            return "";
        posix_spawn_file_actions_t actions{};
        ::posix_spawn_file_actions_init(&actions);
        ::posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
        ::posix_spawn_file_actions_addclose(&actions, ends[0]);
        ::posix_spawn_file_actions_addclose(&actions, ends[1]);
        ::posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", 1, 0);
        std::vector<char*> arguments;
        for (std::string& word : words)
            arguments.push_back(word.data());
        arguments.push_back(nullptr);
        pid_t child = 0;
        const int failed =
            ::posix_spawnp(&child, "ssh", &actions, nullptr, arguments.data(), environ);
        ::posix_spawn_file_actions_destroy(&actions);
        ::close(ends[1]);
        std::string output;
        char buffer[4096];
        for (ssize_t size = 0; !failed && (size = ::read(ends[0], buffer, sizeof(buffer))) > 0;)
            output.append(buffer, static_cast<std::size_t>(size));
        ::close(ends[0]);
        if (!failed)
            ::waitpid(child, nullptr, 0);
        return output;
    }

    std::string control_, port_, place_, key_, known_, cipher_;
};

using Milliseconds = std::vector<double>;

/// The 95 % interval of the ratio of medians, by drawing pairs anew (bootstrap, percentiles); from
/// a fixed seed, so that the same times give the same interval.
Spread ratio_of(const Milliseconds& ours, const Milliseconds& theirs) {
    constexpr std::size_t draws = 2'000;
    std::mt19937 random(20'260'101);
    Milliseconds ratios;
    for (std::size_t draw = 0; draw < draws; ++draw) {
        Milliseconds a, b;
        for (std::size_t i = 0; i < ours.size(); ++i) {
            const std::size_t pair = random() % ours.size();
            a.push_back(ours[pair]);
            b.push_back(theirs[pair]);
        }
        ratios.push_back(spread_of(std::move(a)).median / spread_of(std::move(b)).median);
    }
    std::sort(ratios.begin(), ratios.end());
    return {spread_of(ours).median / spread_of(theirs).median, ratios[draws / 40],
            ratios[draws - draws / 40 - 1]};
}

} // namespace

tl::expected<Findings, std::string> links_queries(Scale scale) {
    if (const auto missing = twins::Sshd::missing())
        return tl::unexpected(*missing);
    if (const auto ready = links::prepare_ssh(); !ready)
        return tl::unexpected(ready.error());
    const auto sshd = twins::Sshd::start();
    const links::Target target = links::test::target_of(*sshd);
    OurLink ours(target);
    if (!ours.connect())
        return tl::unexpected(std::string("our link does not connect"));
    BareLoop bare;
    Multiplexed client(target, ours.agreed(), sshd->directory() / "master");
    if (!bare.connect(target, ours.agreed()) || !client.connect())
        return tl::unexpected(std::string("a peer does not connect"));

    Milliseconds of_ours, of_bare, of_client;
    bool same = true;
    const auto measure = [&same](Milliseconds& into, auto& subject) {
        const auto begin = Clock::now();
        same = subject.ask() == expected && same;
        into.push_back(std::chrono::duration<double, std::milli>(Clock::now() - begin).count());
    };
    const std::size_t queries = scale.quick ? 20 : 1'000;
    for (std::size_t i = 0; i < queries; ++i) {
        // What the one before leaves to be done on the server meets each of the two as often.
        if (i % 2 == 0)
            measure(of_ours, ours);
        measure(of_bare, bare);
        if (i % 2 == 1)
            measure(of_ours, ours);
        measure(of_client, client);
    }
    if (!same)
        return tl::unexpected(std::string("an answer was not what was asked for"));

    const auto entry = [&](std::string what, std::string peer, const Milliseconds& theirs,
                           double ratio, double most) {
        Entry entry{std::move(what), "ms", spread_of(of_ours), std::move(peer), spread_of(theirs)};
        entry.ratio = ratio;
        entry.at_most = most;
        return entry;
    };
    const Spread beside_bare = ratio_of(of_ours, of_bare);
    const Spread beside_client = ratio_of(of_ours, of_client);
    Findings findings;
    findings.entries = {entry("a query", "ssh with a master", of_client, beside_client.median, 0.6),
                        entry("a query (ratio: the upper end of its interval)", "libssh, blocking",
                              of_bare, beside_bare.most, 1.05)};
    char interval[96];
    std::snprintf(interval, sizeof(interval), "%.3f, 95 %% interval %.3f to %.3f",
                  beside_bare.median, beside_bare.least, beside_bare.most);
    findings.notes = {
        "From the asking to the whole answer of \"" + command + "\", seconds of the clock, " +
            std::to_string(queries) +
            " queries of each in turn, of the same OpenSSH server over connections that stay open, "
            "with the same cipher. Ratio of medians to libssh alone: " +
            interval + ".",
        "The blocking loop checks nothing: no host key, no time-out, no bound on the answer, no "
        "whole or not, and the process does nothing else meanwhile."};
    return findings;
}

} // namespace slotwitness::bench
