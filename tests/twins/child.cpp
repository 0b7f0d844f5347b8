#include "child.hpp"

#include <csignal>
#include <fcntl.h>
#include <poll.h>
#include <sys/inotify.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

namespace slotwitness::twins {

namespace {

[[noreturn]] void become(const std::vector<std::string>& command, int output) {
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    sigset_t none;
    sigemptyset(&none);
    ::sigprocmask(SIG_SETMASK, &none, nullptr);
    ::dup2(output, STDOUT_FILENO);
    ::dup2(output, STDERR_FILENO);
    std::vector<char*> words;
    for (const std::string& word : command)
        words.push_back(const_cast<char*>(word.c_str()));
    words.push_back(nullptr);
    ::execv(words[0], words.data());
    ::_exit(127);
}

/// Whether the file came, before the program ended or half a minute had passed.
bool comes(const std::filesystem::path& sign, pid_t process, int watch) {
    const int life = static_cast<int>(::syscall(SYS_pidfd_open, process, 0));
    constexpr int longest_wait_ms = 30'000;
    bool came = std::filesystem::exists(sign);
    while (!came) {
        pollfd events[] = {{watch, POLLIN, 0}, {life, POLLIN, 0}};
        if (::poll(events, 2, longest_wait_ms) <= 0 || (events[1].revents & POLLIN) != 0)
            break;
        alignas(inotify_event) char buffer[4096];
        came = ::read(watch, buffer, sizeof(buffer)) > 0 && std::filesystem::exists(sign);
    }
    ::close(life);
    return came;
}

} // namespace

std::optional<pid_t> start_until(const std::vector<std::string>& command,
                                 const std::filesystem::path& sign,
                                 const std::filesystem::path& output) {
    std::filesystem::remove(sign);
    const int watch = ::inotify_init1(IN_CLOEXEC);
    ::inotify_add_watch(watch, sign.parent_path().c_str(), IN_CREATE | IN_CLOSE_WRITE);
    const int log = ::open(output.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    const pid_t process = ::fork();
    if (process == 0)
        become(command, log);
    const bool serves = process > 0 && comes(sign, process, watch);
    ::close(log);
    ::close(watch);
    if (serves)
        return process;
    if (process > 0) {
        ::kill(process, SIGKILL);
        ::waitpid(process, nullptr, 0);
    }
    return std::nullopt;
}

} // namespace slotwitness::twins
