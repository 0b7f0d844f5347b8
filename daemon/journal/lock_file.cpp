#include "lock_file.hpp"

#include <array>
#include <cerrno>
#include <fcntl.h>
#include <sys/file.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace slotwitness::journal {

namespace {

tl::unexpected<StoreError> unavailable(std::string text) {
    return tl::unexpected(StoreError{StoreError::Kind::unavailable, std::move(text)});
}

/// " (process 4711)", if the holder has written its number; it need not have.
std::string holder(int descriptor) {
    std::array<char, 16> digits{};
    const ssize_t length = ::pread(descriptor, digits.data(), digits.size(), 0);
    std::string number;
    for (ssize_t i = 0; i < length && digits[static_cast<std::size_t>(i)] >= '0' &&
                        digits[static_cast<std::size_t>(i)] <= '9';
         ++i)
        number += digits[static_cast<std::size_t>(i)];
    return number.empty() ? "" : " (process " + number + ")";
}

} // namespace

tl::expected<LockFile, StoreError> LockFile::take(const std::string& journal) {
    const std::string path = journal + ".lock";
    const int descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (descriptor < 0)
        return unavailable("journal " + journal + ": cannot make its lock file " + path + ": " +
                           std::system_category().message(errno) +
                           "; the daemon must be able to write in that folder");
    LockFile lock(descriptor);
    if (::flock(descriptor, LOCK_EX | LOCK_NB) != 0) {
        if (errno != EWOULDBLOCK)
            return unavailable("journal " + journal + ": cannot lock " + path + ": " +
                               std::system_category().message(errno));
        return unavailable(
            "journal " + journal + ": another process" + holder(descriptor) +
            " has it open for writing; stop that one first, or name another journal");
    }
    // The number is a help for whoever is turned away, no more: the lock holds without it.
    const std::string number = std::to_string(::getpid()) + "\n";
    if (::ftruncate(descriptor, 0) == 0) [[maybe_unused]]
        const ssize_t written = ::pwrite(descriptor, number.data(), number.size(), 0);
    return lock;
}

LockFile::LockFile(LockFile&& other) noexcept : descriptor_(std::exchange(other.descriptor_, -1)) {}

LockFile::~LockFile() {
    if (descriptor_ >= 0)
        ::close(descriptor_);
}

} // namespace slotwitness::journal
