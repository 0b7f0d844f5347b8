#include "support.hpp"

#include <filesystem>
#include <iterator>
#include <stdexcept>

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

Target target_of(const twins::Sshd& sshd) {
    Target target;
    target.host = "127.0.0.1";
    target.port = sshd.port();
    target.user = twins::Sshd::user();
    target.key_file = sshd.key_file();
    target.known_hosts = sshd.known_hosts_file();
    return target;
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
