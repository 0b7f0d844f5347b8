#include "dropbear.hpp"

#include "child.hpp"
#include "own_server.hpp"
#include "sshd.hpp"

#include <fstream>
#include <unistd.h>

namespace slotwitness::twins {

namespace fs = std::filesystem;

namespace {

constexpr auto small_server = "/usr/sbin/dropbear";
constexpr auto maker_of_its_keys = "/usr/bin/dropbearkey";
constexpr auto names_wrapper = "/usr/lib/x86_64-linux-gnu/libnss_wrapper.so";

/// The line of dropbearkey's output that is the public key.
std::string public_key_in(const std::string& printed, const std::string& type) {
    const std::size_t begin = printed.find(type);
    if (begin == std::string::npos)
        die("dropbearkey printed no public key: " + printed);
    return printed.substr(begin, printed.find('\n', begin) - begin);
}

} // namespace

std::optional<std::string> Dropbear::missing() {
    for (const char* program : {small_server, maker_of_its_keys})
        if (::access(program, X_OK) != 0)
            return std::string(program) + " is not installed (Debian: dropbear-bin)";
    if (::access(names_wrapper, R_OK) != 0)
        return std::string(names_wrapper) + " is not installed (Debian: libnss-wrapper)";
    return Sshd::missing(); // its key maker makes the client's
}

std::unique_ptr<Dropbear> Dropbear::start(const Setup& setup) {
    std::unique_ptr<Dropbear> twin(new Dropbear());
    twin->directory_ = new_directory("slotwitness-dropbear");
    const fs::path& home = twin->directory_;
    // It lets in by no key that others may change.
    fs::create_directory(home / ".ssh");
    fs::permissions(home / ".ssh", fs::perms::owner_all);
    for (const char* name : {"client_key", "other_key"})
        output_of({"/usr/bin/ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", home / name});
    fs::copy_file(home / "client_key.pub", home / ".ssh" / "authorized_keys");
    std::ofstream(home / ".profile") << setup.profile;
    const std::string ids = std::to_string(::geteuid()) + ":" + std::to_string(::getegid());
    std::ofstream(home / "passwd")
        << Sshd::user() << ":x:" << ids << "::" << home.string() << ":/bin/sh\n";
    std::ofstream(home / "group") << "them:x:" << ::getegid() << ":\n";
    const std::string key = public_key_in(
        output_of({"/bin/sh", "-c", "exec \"$0\" \"$@\" 2>/dev/null", maker_of_its_keys, "-t",
                   setup.host_key_type, "-f", home / "host_key"}),
        setup.host_key_type == "ecdsa" ? "ecdsa-sha2-" : "ssh-" + setup.host_key_type);

    // Another program may take the port between our look and the server's bind.
    constexpr int most_tries = 5;
    for (int left = most_tries; left > 0; --left) {
        twin->port_ = free_port();
        std::ofstream(home / "known_hosts") << "[127.0.0.1]:" << twin->port_ << ' ' << key << '\n';
        std::vector<std::string> command{"/usr/bin/env",
                                         "LD_PRELOAD=libnss_wrapper.so",
                                         "NSS_WRAPPER_PASSWD=" + (home / "passwd").string(),
                                         "NSS_WRAPPER_GROUP=" + (home / "group").string(),
                                         small_server,
                                         "-F", // stays in the foreground, …
                                         "-E", // … tells its log there, …
                                         "-m", // … shows no message of the day, …
                                         "-s", // … takes no password
                                         "-r",
                                         home / "host_key",
                                         "-p",
                                         "127.0.0.1:" + std::to_string(twin->port_),
                                         "-P",
                                         home / "pid"};
        command.insert(command.end(), setup.more.begin(), setup.more.end());
        const auto process = start_until(command, home / "pid", home / "log");
        if (!process)
            continue;
        twin->process_ = *process;
        if (greets(twin->port_))
            return twin;
    }
    die("dropbear did not start; its log:\n" + twin->log());
}

Dropbear::~Dropbear() {
    if (process_ > 0)
        end_server(process_);
    std::error_code ignored;
    fs::remove_all(directory_, ignored);
}

std::string Dropbear::log() const {
    return text_of(directory_ / "log");
}

} // namespace slotwitness::twins
