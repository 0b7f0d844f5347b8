#include "../links/support.hpp"
#include "delaying_relay.hpp"
#include "section.hpp"

#include <chrono>
#include <filesystem>
#include <fstream>

namespace slotwitness::bench {
namespace {

using links::test::approved;
using links::test::run;
using links::test::run_all;
using Clock = std::chrono::steady_clock;

constexpr std::chrono::milliseconds each_way{50};
constexpr units::Duration patience{60'000};
constexpr std::size_t in_a_look = 4;

/// A login shell with a prompt and one command.
constexpr auto prompting = R"(#!/bin/sh
stty -onlcr
while printf 'edge-7> ' && IFS= read -r line; do
    case $line in 'tell '*) printf '%s\r\n' "${line#tell }" ;; esac
done
)";

boost::asio::awaitable<bool> asked(links::Link& link, std::string command, std::string answer) {
    auto query = approved(command);
    const auto came = co_await link.ask(std::move(query));
    co_return came && came->bytes.find(answer) != std::string::npos;
}

boost::asio::awaitable<bool> connected(links::Link& link) {
    const auto done = co_await link.connect();
    co_return done.has_value();
}

/// A link through the relay, connected and used once: what a shell or a first channel costs once is
/// no part of a look.
class Far {
  public:
    Far(const twins::Sshd& sshd, links::Limits limits, std::string ask)
        : relay_(loop_.get_executor(), sshd.port(), each_way), ask_(std::move(ask)) {
        links::Target target = links::test::target_of(sshd);
        target.port = relay_.port();
        const std::string known = target.known_hosts + "-" + std::to_string(relay_.port());
        std::ifstream host_key(sshd.host_key_file("ed25519"));
        std::ofstream(known) << "[127.0.0.1]:" << relay_.port() << ' ' << host_key.rdbuf();
        target.known_hosts = known;
        link_ = links::make_ssh_link(loop_.get_executor(), target, std::move(limits));
    }
    [[nodiscard]] bool begin() { return run(loop_, connected(*link_)) && ask("first"); }
    [[nodiscard]] bool ask(const std::string& word) {
        return run(loop_, asked(*link_, ask_ + word, word));
    }
    [[nodiscard]] bool ask_all_at_once() {
        std::vector<boost::asio::awaitable<bool>> all;
        for (std::size_t i = 0; i < in_a_look; ++i)
            all.push_back(asked(*link_, ask_ + std::to_string(i), std::to_string(i)));
        bool good = true;
        for (const bool each : run_all(loop_, std::move(all)))
            good = good && each;
        return good;
    }

  private:
    boost::asio::io_context loop_;
    DelayingRelay relay_;
    std::string ask_;
    std::unique_ptr<links::Link> link_;
};

double round_trips(Clock::duration taken) {
    return std::chrono::duration<double>(taken) / std::chrono::duration<double>(2 * each_way);
}

} // namespace

tl::expected<Findings, std::string> links_round_trips(Scale scale) {
    if (const auto missing = twins::Sshd::missing())
        return tl::unexpected(*missing);
    if (const auto ready = links::prepare_ssh(); !ready)
        return tl::unexpected(ready.error());
    const auto sshd = twins::Sshd::start();
    const std::filesystem::path login_shell = sshd->directory() / "prompting";
    std::ofstream(login_shell) << prompting;
    std::filesystem::permissions(login_shell, std::filesystem::perms::owner_all);
    twins::Sshd::Setup setup;
    setup.forced_command = login_shell;
    const auto shells = twins::Sshd::start(std::move(setup));

    links::Limits parallel{patience};
    parallel.parallel = in_a_look;
    Far at_once(*sshd, parallel, "echo ");
    Far in_turn(*sshd, links::Limits{patience}, "echo ");
    Far shell(*shells, links::test::in_a_shell(patience), "tell ");
    for (Far* far : {&at_once, &in_turn, &shell})
        if (!far->begin())
            return tl::unexpected(std::string("no answer through the relay"));

    std::vector<double> of_a_look, of_a_query, of_a_line;
    bool good = true;
    const auto measure = [](std::vector<double>& into, std::size_t queries, auto&& job) {
        const auto begin = Clock::now();
        job();
        into.push_back(round_trips(Clock::now() - begin) / static_cast<double>(queries));
    };
    for (std::size_t round = 0; round < scale.rounds(); ++round) {
        measure(of_a_look, 1, [&] { good = at_once.ask_all_at_once() && good; });
        measure(of_a_query, in_a_look, [&] {
            for (std::size_t i = 0; i < in_a_look; ++i)
                good = in_turn.ask(std::to_string(i)) && good;
        });
        measure(of_a_line, in_a_look, [&] {
            for (std::size_t i = 0; i < in_a_look; ++i)
                good = shell.ask(std::to_string(i)) && good;
        });
    }
    if (!good)
        return tl::unexpected(std::string("an answer was not what was asked for"));

    const auto entry = [](std::string what, std::vector<double> values, double most) {
        Entry entry{std::move(what), "trips", spread_of(std::move(values))};
        entry.at_most = most;
        return entry;
    };
    Findings findings;
    findings.entries = {
        entry("far: a look of 4 queries on parallel channels", std::move(of_a_look), 2.3),
        entry("far: a query, one at a time", std::move(of_a_query), 2.1),
        entry("far: a query in a shell (1 more than it could be, by choice)", std::move(of_a_line),
              2.2)};
    findings.notes = {
        "Through a relay that keeps each piece back for 50 ms each way: time over 100 ms. "
        "A query in a shell could take 1.2 trips; one more goes into proving that what "
        "looks like the prompt is the prompt, for a row could look like it."};
    return findings;
}

} // namespace slotwitness::bench
