#include "sshd.hpp"

#include "child.hpp"
#include "folder.hpp"
#include "own_server.hpp"

#include <csignal>
#include <fcntl.h>
#include <fstream>
#include <pwd.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

namespace slotwitness::twins {

namespace fs = std::filesystem;

namespace {

constexpr auto server = "/usr/sbin/sshd";
constexpr auto key_maker = "/usr/bin/ssh-keygen";
constexpr auto pam_module = "/usr/lib/x86_64-linux-gnu/pam_wrapper/pam_matrix.so";

} // namespace

std::string output_of(const std::vector<std::string>& command) {
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) {
        die("no pipe");
    }
    const int read_end = ends[0];
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    std::vector<char*> arguments;
    for (const auto& word : command) {
        arguments.push_back(const_cast<char*>(word.c_str()));
    }
    arguments.push_back(nullptr);
    pid_t process = -1;
    const int started =
        ::posix_spawnp(&process, arguments[0], &actions, nullptr, arguments.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    std::string output;
    char buffer[4096];
    for (ssize_t got = 0; started == 0 && (got = ::read(read_end, buffer, sizeof(buffer))) > 0;) {
        output.append(buffer, static_cast<std::size_t>(got));
    }
    ::close(read_end);
    int status = -1;
    if (started != 0 || ::waitpid(process, &status, 0) != process || status != 0) {
        die(command.front() + " failed: " + output);
    }
    return output;
}

void put_rsa_key(const fs::path& file) {
    struct Found {
        Folder folder;
        Found() {
            output_of({key_maker, "-q", "-t", "rsa", "-b", "2048", "-N", "", "-C", "test", "-f",
                       folder.file("key")});
        }
    };
    static const Found found;
    fs::copy_file(found.folder.file("key"), file, fs::copy_options::overwrite_existing);
    fs::copy_file(found.folder.file("key.pub"), file.string() + ".pub",
                  fs::copy_options::overwrite_existing);
}

std::optional<std::string> Sshd::missing() {
    for (const auto* program : {server, key_maker}) {
        if (::access(program, X_OK) != 0) {
            return std::string(program) +
                   " is not installed (Debian: openssh-server, openssh-client)";
        }
    }
    // As root sshd wants a directory for its unprivileged part.
    if (::geteuid() == 0) {
        std::error_code error;
        fs::create_directories("/run/sshd", error);
        if (error) {
            return "/run/sshd cannot be made: " + error.message();
        }
    }
    return std::nullopt;
}

std::optional<std::string> Sshd::missing_passwords() {
    if (::access(pam_module, R_OK) != 0) {
        return std::string(pam_module) + " is not installed (Debian: libpam-wrapper)";
    }
    return missing();
}

/// The server's PAM reads our service and our list of passwords, not those of the machine.
std::vector<std::string> Sshd::with_passwords() const {
    const auto service = directory_ / "pam" / "sshd";
    fs::create_directories(service.parent_path());
    std::ofstream(directory_ / "passwords") << user() << ':' << *setup_.password << ":sshd\n";
    std::ofstream file(service);
    for (const auto* part : {"auth", "account", "session"}) {
        file << part << " required " << pam_module
             << " passdb=" << (directory_ / "passwords").string() << '\n';
    }
    return {"/usr/bin/env", "LD_PRELOAD=libpam_wrapper.so", "PAM_WRAPPER=1",
            "PAM_WRAPPER_SERVICE_DIR=" + service.parent_path().string()};
}

std::unique_ptr<Sshd> Sshd::start(Setup setup) {
    std::unique_ptr<Sshd> sshd(new Sshd(std::move(setup)));
    sshd->make_keys(false);
    // Another program may take the port between our look and the server's bind.
    constexpr int most_tries = 5;
    for (int left = most_tries; left > 0; --left) {
        sshd->port_ = sshd->setup_.port.value_or(free_port());
        sshd->write_known_hosts();
        if (sshd->launch()) {
            return sshd;
        }
    }
    sshd->give_up("sshd did not start");
}

Sshd::Sshd(Setup setup) : setup_(std::move(setup)) {
    directory_ = new_directory("slotwitness-sshd");
}

Sshd::~Sshd() {
    stop();
    std::error_code ignored;
    fs::remove_all(directory_, ignored);
}

std::string Sshd::user() {
    const auto* entry = ::getpwuid(::geteuid());
    return entry != nullptr ? entry->pw_name : "";
}

std::string Sshd::host_key_file(const std::string& type) const {
    return directory_ / ("host_" + type + ".pub");
}

std::string Sshd::log() const {
    return text_of(directory_ / "log");
}

void Sshd::make_keys(bool host_keys_only) {
    const auto make = [this](const std::string& type, const std::string& file) {
        fs::remove(directory_ / file);
        if (type == "rsa") {
            put_rsa_key(directory_ / file);
            return;
        }
        output_of({key_maker, "-q", "-t", type, "-N", "", "-C", "test", "-f", directory_ / file});
    };
    for (const auto& type : setup_.host_key_types) {
        make(type, "host_" + type);
    }
    if (!host_keys_only) {
        make("ed25519", "client_key");
        make("ed25519", "other_key");
        std::ofstream authorized(directory_ / "authorized_keys");
        if (setup_.key_command) {
            authorized << "command=\"" << *setup_.key_command << "\" ";
        }
        authorized << text_of(directory_ / "client_key.pub");
    }
}

void Sshd::write_known_hosts() const {
    std::ofstream known(directory_ / "known_hosts");
    for (const auto& type : setup_.host_key_types) {
        known << '[' << setup_.address << "]:" << port_ << ' ' << text_of(host_key_file(type));
    }
}

bool Sshd::launch() {
    const auto configuration = directory_ / "sshd_config";
    {
        std::ofstream file(configuration);
        file << "MaxStartups 1000\n";          // of this one the last value counts, and …
        for (const auto& line : setup_.more) { // … of any other option the first
            file << line << '\n';
        }
        file << "ListenAddress " << setup_.address << "\nPort " << port_ << "\nPidFile "
             << (directory_ / "pid").string() << "\nAuthorizedKeysFile "
             << (directory_ / "authorized_keys").string() << "\nUsePAM "
             << (setup_.password ? "yes" : "no")
             << "\nStrictModes no\nPermitRootLogin prohibit-password\n"
                "PasswordAuthentication no\nKbdInteractiveAuthentication no\nPrintMotd no\n"
                "LoginGraceTime 60\nLogLevel VERBOSE\n"
                // Away from the account's own shell start-up files, which may print and take long.
                "SetEnv HOME="
             << directory_.string() << '\n';
        for (const auto& type : setup_.host_key_types) {
            file << "HostKey " << (directory_ / ("host_" + type)).string() << '\n';
        }
        if (setup_.forced_command) {
            file << "ForceCommand " << *setup_.forced_command << '\n';
        }
    }
    // The server writes its pid file once it listens: the sign to connect.
    std::vector<std::string> command;
    if (setup_.password) {
        command = with_passwords();
    }
    for (const std::string& word :
         {std::string(server), std::string("-D"), std::string("-f"), configuration.string(),
          std::string("-E"), (directory_ / "log").string()}) {
        command.push_back(word);
    }
    const auto process = start_until(command, directory_ / "pid", directory_ / "output");
    process_ = process.value_or(-1);
    if (!process) {
        return false;
    }
    return greets(port_, setup_.address);
}

std::size_t Sshd::kill_sessions() {
    const auto sessions = descendants(process_);
    for (const auto process : sessions) {
        ::kill(process, SIGKILL);
    }
    return sessions.size();
}

void Sshd::stop() {
    if (process_ < 0) {
        return;
    }
    end_server(process_);
    process_ = -1;
}

void Sshd::start_again(bool with_new_host_keys) {
    stop();
    if (with_new_host_keys) {
        make_keys(true);
    }
    if (!launch()) {
        give_up("sshd did not start again");
    }
}

void Sshd::give_up(const std::string& why) const {
    die(why + "; its log:\n" + log());
}

} // namespace slotwitness::twins
