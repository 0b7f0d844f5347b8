#include "process.hpp"

#include <cerrno>
#include <csignal>
#include <fcntl.h>
#include <spawn.h>
#include <stdexcept>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace slotwitness::live {

namespace {

std::vector<char*> arguments(std::vector<std::string>& command) {
    std::vector<char*> list;
    for (std::string& word : command)
        list.push_back(word.data());
    list.push_back(nullptr);
    return list;
}

int exit_code(int status) {
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

std::string read_some(int descriptor) {
    char buffer[4096];
    ssize_t count = 0;
    do
        count = ::read(descriptor, buffer, sizeof buffer);
    while (count < 0 && errno == EINTR);
    return count > 0 ? std::string(buffer, static_cast<std::size_t>(count)) : "";
}

} // namespace

Process::Process(std::vector<std::string> command, const std::string& errors_to) {
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0)
        throw std::runtime_error("pipe2 failed");
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, errors_to.c_str(),
                                     O_WRONLY | O_CREAT | O_APPEND, 0600);
    const int failed = ::posix_spawnp(&pid_, command.front().c_str(), &actions, nullptr,
                                      arguments(command).data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    output_ = ends[0];
    if (failed != 0) {
        pid_ = -1;
        throw std::runtime_error("cannot start " + command.front());
    }
}

Process::~Process() {
    if (pid_ > 0 && !status_) {
        signal(SIGKILL);
        wait();
    }
    ::close(output_);
}

std::optional<std::string> Process::next_line() {
    while (true) {
        if (const std::size_t end = pending_.find('\n'); end != std::string::npos) {
            std::string line = pending_.substr(0, end);
            pending_.erase(0, end + 1);
            return line;
        }
        const std::string more = read_some(output_);
        if (more.empty())
            return std::nullopt;
        pending_ += more;
    }
}

void Process::signal(int number) const {
    if (!status_)
        ::kill(pid_, number);
}

int Process::wait() {
    if (!status_) {
        int status = 0;
        while (::waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
        }
        status_ = exit_code(status);
        left_core_ = WIFSIGNALED(status) && WCOREDUMP(status);
    }
    return *status_;
}

Ran run(const std::vector<std::string>& command) {
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0)
        throw std::runtime_error("pipe2 failed");
    std::vector<std::string> words = command;
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDERR_FILENO);
    pid_t pid = -1;
    const int failed = ::posix_spawnp(&pid, words.front().c_str(), &actions, nullptr,
                                      arguments(words).data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    Ran ran;
    if (failed != 0) {
        ::close(ends[0]);
        return {127, "cannot start " + words.front()};
    }
    for (std::string more = read_some(ends[0]); !more.empty(); more = read_some(ends[0]))
        ran.output += more;
    ::close(ends[0]);
    int status = 0;
    while (::waitpid(pid, &status, 0) < 0 && errno == EINTR) {
    }
    ran.status = exit_code(status);
    return ran;
}

} // namespace slotwitness::live
