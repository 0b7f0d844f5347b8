#include "blocking_calls.hpp"

#include <cstdio>
#include <cstring>
#include <ctime>
#include <dlfcn.h>
#include <fcntl.h>
#include <memory>
#include <netdb.h>
#include <poll.h>
#include <string_view>
#include <sys/select.h>
#include <sys/socket.h>
#include <sys/types.h>
#include <unistd.h>

namespace slotwitness::links::test {
namespace {

struct Record {
    std::vector<std::string> seen;
    std::vector<std::string> files;
    std::size_t calls = 0;
};
thread_local std::unique_ptr<Record> record;
thread_local bool inside = false; ///< recording itself may call what is watched

void note(const std::string& call, bool blocks) {
    if (!record || inside) {
        return;
    }
    inside = true;
    ++record->calls;
    if (blocks) {
        record->seen.push_back(call);
    }
    inside = false;
}

void note_file(const char* path) {
    if (!record || inside || path == nullptr) {
        return;
    }
    inside = true;
    record->files.emplace_back(path);
    inside = false;
}

bool blocks(int descriptor, int flags) {
    return (flags & MSG_DONTWAIT) == 0 && (::fcntl(descriptor, F_GETFL) & O_NONBLOCK) == 0;
}

template <typename Function>
Function* real(const char* name) {
    return reinterpret_cast<Function*>(::dlsym(RTLD_NEXT, name));
}

} // namespace

BlockingCalls::BlockingCalls() {
    record = std::make_unique<Record>();
}
BlockingCalls::~BlockingCalls() {
    record.reset();
}
const std::vector<std::string>& BlockingCalls::seen() const {
    return record->seen;
}
const std::vector<std::string>& BlockingCalls::files() const {
    return record->files;
}
std::size_t BlockingCalls::calls() const {
    return record->calls;
}

} // namespace slotwitness::links::test

using namespace slotwitness::links::test;

// The definitions below take the place of the C library's for the whole program, libssh included.
extern "C" {

int poll(pollfd* fds, nfds_t count, int timeout) {
    note("poll with timeout " + std::to_string(timeout), timeout != 0);
    static const auto next = real<int(pollfd*, nfds_t, int)>("poll");
    return next(fds, count, timeout);
}

int select(int count, fd_set* read, fd_set* write, fd_set* except, timeval* timeout) {
    note("select", timeout == nullptr || timeout->tv_sec != 0 || timeout->tv_usec != 0);
    static const auto next = real<int(int, fd_set*, fd_set*, fd_set*, timeval*)>("select");
    return next(count, read, write, except, timeout);
}

int usleep(useconds_t time) {
    note("usleep", true);
    static const auto next = real<int(useconds_t)>("usleep");
    return next(time);
}

unsigned sleep(unsigned seconds) {
    note("sleep", true);
    static const auto next = real<unsigned(unsigned)>("sleep");
    return next(seconds);
}

int nanosleep(const timespec* time, timespec* left) {
    note("nanosleep", true);
    static const auto next = real<int(const timespec*, timespec*)>("nanosleep");
    return next(time, left);
}

int getaddrinfo(const char* node, const char* service, const addrinfo* hints, addrinfo** result) {
    note("getaddrinfo", true);
    static const auto next =
        real<int(const char*, const char*, const addrinfo*, addrinfo**)>("getaddrinfo");
    return next(node, service, hints, result);
}

pid_t fork() {
    note("fork", true);
    static const auto next = real<pid_t()>("fork");
    return next();
}

int connect(int descriptor, const sockaddr* address, socklen_t size) {
    note("connect on a blocking socket", blocks(descriptor, 0));
    static const auto next = real<int(int, const sockaddr*, socklen_t)>("connect");
    return next(descriptor, address, size);
}

ssize_t recv(int descriptor, void* buffer, std::size_t size, int flags) {
    note("recv on a blocking socket", blocks(descriptor, flags));
    static const auto next = real<ssize_t(int, void*, std::size_t, int)>("recv");
    return next(descriptor, buffer, size, flags);
}

ssize_t send(int descriptor, const void* buffer, std::size_t size, int flags) {
    // libssh's greeting is the first thing in an empty socket buffer: it cannot block, and there is
    // no moment between libssh's making the socket blocking and this call.
    const bool greeting =
        std::string_view(static_cast<const char*>(buffer), size).starts_with("SSH-2.0-");
    note("send on a blocking socket", !greeting && blocks(descriptor, flags));
    static const auto next = real<ssize_t(int, const void*, std::size_t, int)>("send");
    return next(descriptor, buffer, size, flags);
}

FILE* fopen(const char* path, const char* mode) {
    note_file(path);
    static const auto next = real<FILE*(const char*, const char*)>("fopen");
    return next(path, mode);
}

FILE* fopen64(const char* path, const char* mode) {
    note_file(path);
    static const auto next = real<FILE*(const char*, const char*)>("fopen64");
    return next(path, mode);
}
}
