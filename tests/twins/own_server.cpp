#include "own_server.hpp"

#include <arpa/inet.h>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <netinet/in.h>
#include <sstream>
#include <string_view>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

namespace slotwitness::twins {

namespace fs = std::filesystem;

namespace {

struct Descriptor {
    int number;
    explicit Descriptor(int descriptor) : number(descriptor) {}
    ~Descriptor() {
        if (number >= 0) {
            ::close(number);
        }
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
};

sockaddr_in loopback(std::uint16_t port, const std::string& at = "127.0.0.1") {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    ::inet_pton(AF_INET, at.c_str(), &address.sin_addr);
    return address;
}

} // namespace

std::string text_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

void die(const std::string& why) {
    std::cerr << why << std::endl;
    std::abort();
}

std::uint16_t free_port() {
    const Descriptor socket(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0));
    auto address = loopback(0);
    socklen_t size = sizeof(address);
    if (::bind(socket.number, reinterpret_cast<sockaddr*>(&address), size) != 0 ||
        ::getsockname(socket.number, reinterpret_cast<sockaddr*>(&address), &size) != 0) {
        die("no free port on 127.0.0.1");
    }
    return ntohs(address.sin_port);
}

/// Connects, and waits for the first bytes of the greeting.
bool greets(std::uint16_t port, const std::string& at) {
    const Descriptor socket(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0));
    const auto address = loopback(port, at);
    char greeting[4] = {};
    return ::connect(socket.number, reinterpret_cast<const sockaddr*>(&address), sizeof(address)) ==
               0 &&
           ::recv(socket.number, greeting, sizeof(greeting), MSG_WAITALL) == sizeof(greeting) &&
           std::string_view(greeting, sizeof(greeting)) == "SSH-";
}

/// The processes below this one, deepest last.
std::vector<pid_t> descendants(pid_t of) {
    std::vector<pid_t> found{of};
    for (std::size_t next = 0; next < found.size(); ++next) {
        for (const auto& entry : fs::directory_iterator("/proc")) {
            const auto name = entry.path().filename().string();
            if (name.find_first_not_of("0123456789") != std::string::npos) {
                continue;
            }
            // "pid (name) state ppid …"; the name may hold anything, so look behind its end.
            const auto stat = text_of(entry.path() / "stat");
            const auto end = stat.rfind(')');
            if (end == std::string::npos) {
                continue;
            }
            std::istringstream rest(stat.substr(end + 1));
            std::string state;
            pid_t parent = 0;
            if (rest >> state >> parent && parent == found[next]) {
                found.push_back(static_cast<pid_t>(std::stol(name)));
            }
        }
    }
    found.erase(found.begin());
    return found;
}

fs::path new_directory(const std::string& name) {
    std::string pattern = fs::temp_directory_path() / (name + "-XXXXXX");
    if (::mkdtemp(pattern.data()) == nullptr)
        die("no temporary directory: " + pattern);
    return pattern;
}

void end_server(pid_t process) {
    // The listening process first, so that no new session appears behind the look at its children.
    ::kill(process, SIGSTOP);
    for (const pid_t session : descendants(process))
        ::kill(session, SIGKILL);
    ::kill(process, SIGKILL);
    ::waitpid(process, nullptr, 0);
}

} // namespace slotwitness::twins
