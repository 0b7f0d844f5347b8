#pragma once

#include <slotwitness/links/link.hpp>
#include <slotwitness/twins/sshd.hpp>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/io_context.hpp>

#include <chrono>
#include <exception>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace slotwitness::links::test {

namespace asio = boost::asio;

/// A profile whose queries are these commands: query "0", "1", …
[[nodiscard]] profiles::Profile profile_of(const std::vector<std::string>& commands);

/// The command as the guard lets it out.
[[nodiscard]] ApprovedQuery approved(const std::string& command);

/// Over a shell whose prompt is a name and "> "; `more` goes on in the profile's [reach].
[[nodiscard]] Limits in_a_shell(units::Duration timeout, const std::string& more = "");

/// The way to this server with the key that it lets in.
[[nodiscard]] Target target_of(const twins::Sshd& sshd);

/// "SHA256:…", as ssh-keygen prints it of the first key in this file.
[[nodiscard]] std::string fingerprint_of(const std::string& public_key_file);

/// Runs handlers until `done` holds or nothing is left to wait for; returns whether it holds.
template <typename Predicate>
bool run_until(asio::io_context& loop, Predicate done) {
    loop.restart();
    while (!done() && loop.run_one() != 0) {
    }
    return done();
}

/// Waits until no process has this pipe open: whoever holds it for both ways while it lives.
void wait_until_left(const std::filesystem::path& pipe);

/// Runs what closed links and relays have left to do; returns when there is nothing.
void finish(asio::io_context& loop);

/// How many descriptors this process has open.
[[nodiscard]] std::size_t open_descriptors();

/// Runs the coroutine on the loop until the loop has nothing left to do.
template <typename Result>
Result run(asio::io_context& loop, asio::awaitable<Result> what) {
    std::optional<Result> result;
    asio::co_spawn(loop, std::move(what), [&result](std::exception_ptr thrown, Result value) {
        if (thrown) {
            std::rethrow_exception(thrown);
        }
        result = std::move(value);
    });
    loop.restart();
    while (!result && loop.run_one() != 0) {
    }
    return std::move(result.value());
}

/// As `run`, for several at once; results in the order of the coroutines.
template <typename Result>
std::vector<Result> run_all(asio::io_context& loop, std::vector<asio::awaitable<Result>> what) {
    std::vector<std::optional<Result>> results(what.size());
    std::size_t left = what.size();
    for (std::size_t i = 0; i < what.size(); ++i) {
        asio::co_spawn(loop, std::move(what[i]),
                       [&results, &left, i](std::exception_ptr thrown, Result value) {
                           if (thrown) {
                               std::rethrow_exception(thrown);
                           }
                           results[i] = std::move(value);
                           --left;
                       });
    }
    loop.restart();
    while (left != 0 && loop.run_one() != 0) {
    }
    std::vector<Result> values;
    for (auto& result : results) {
        values.push_back(std::move(result.value()));
    }
    return values;
}

} // namespace slotwitness::links::test
