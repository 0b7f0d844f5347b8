#include "support.hpp"

#include <fcntl.h>
#include <filesystem>
#include <iterator>
#include <sstream>
#include <stdexcept>
#include <unistd.h>

namespace slotwitness::links::test {

profiles::Profile profile_of(const std::vector<std::string>& commands) {
    profiles::Profile profile;
    profile.family = "test";
    for (std::size_t i = 0; i < commands.size(); ++i) {
        profiles::Query query;
        query.id = std::to_string(i);
        query.ask = {commands[i]};
        profile.queries.emplace(query.id, std::move(query));
    }
    return profile;
}

ApprovedQuery approved(const std::string& command) {
    const auto profile = profile_of({command});
    auto query = Guard(profile).approve({"0", {}});
    if (!query) {
        throw std::logic_error("the guard refuses " + command + ": " +
                               state::to_text(query.error()));
    }
    return std::move(*query);
}

namespace {
profiles::Profile shell_profile(const std::string& more) {
    const std::string text = R"(
[profile]
format = 1
family = "test"
[grammar]
rules = '''
prompt = name "> "
name   = 1*( ALPHA / DIGIT / "-" )
'''
[reach]
by     = "shell"
prompt = ["prompt"]
)" + more + R"(
[query.planes]
ask    = ["tell"]
kind   = "plane"
layout = "table"
[query.planes.table]
columns = ["NAME"]
edges   = "header"
[query.planes.cells]
NAME = { as = "name" }
)";
    auto profile = profiles::parse_profile(text, "test.toml");
    if (!profile)
        throw std::logic_error(state::to_text(profile.error().front()));
    return std::move(*profile);
}

} // namespace

Limits in_a_shell(units::Duration timeout, const std::string& more) {
    Limits limits;
    limits.timeout = timeout;
    limits.by = profiles::Reach::By::shell;
    const auto profile = shell_profile(more);
    limits.shell = Guard(profile).approve_shell();
    return limits;
}

Target target_of(const twins::Sshd& sshd) {
    Target target;
    target.host = "127.0.0.1";
    target.port = sshd.port();
    target.user = twins::Sshd::user();
    target.key_file = sshd.key_file();
    target.known_hosts = sshd.known_hosts_file();
    return target;
}

std::string fingerprint_of(const std::string& public_key_file) {
    std::istringstream line(
        twins::output_of({"ssh-keygen", "-l", "-E", "sha256", "-f", public_key_file}));
    std::string bits;
    std::string fingerprint;
    line >> bits >> fingerprint;
    return fingerprint;
}

void wait_until_left(const std::filesystem::path& pipe) {
    // While it has writers reading waits; an opening that waits would wait for a first one.
    const int end = ::open(pipe.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    ::fcntl(end, F_SETFL, 0);
    for (char none = 0; ::read(end, &none, 1) > 0;) {
    }
    ::close(end);
}

void finish(asio::io_context& loop) {
    loop.restart();
    loop.run();
}

std::size_t open_descriptors() {
    const std::filesystem::directory_iterator all("/proc/self/fd");
    return static_cast<std::size_t>(std::distance(begin(all), end(all)));
}

} // namespace slotwitness::links::test
