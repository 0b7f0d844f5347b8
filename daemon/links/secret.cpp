#include "secret.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

namespace slotwitness::links {

namespace {

constexpr std::size_t longest_secret = 1024;

tl::unexpected<LinkError> unusable(const std::string& file, const std::string& why) {
    return tl::unexpected(
        LinkError{LinkError::Kind::own_files, "secret file " + file + ": " + why});
}

struct Open {
    explicit Open(const std::string& file) : number(::open(file.c_str(), O_RDONLY | O_CLOEXEC)) {}
    ~Open() {
        if (number >= 0)
            ::close(number);
    }
    Open(const Open&) = delete;
    Open& operator=(const Open&) = delete;
    int number;
};

} // namespace

tl::expected<Secret, LinkError> Secret::read(const std::string& file) {
    const Open open(file);
    struct stat status {};
    if (open.number < 0 || ::fstat(open.number, &status) != 0)
        return unusable(file, std::string(std::strerror(errno)) +
                                  "; give the daemon's account a readable file with one line");
    // A service's files are root's own, readable by its group.
    const mode_t too_much = S_IRWXO | S_IWGRP | (status.st_uid == 0 ? 0U : S_IRGRP);
    if ((status.st_mode & too_much) != 0)
        return unusable(file, "others than its owner may read or change it; chmod 600 it");
    std::array<char, longest_secret + 2> buffer{};
    const ssize_t got = ::read(open.number, buffer.data(), buffer.size() - 1);
    const auto end = buffer.begin() + std::max<ssize_t>(got, 0);
    const auto line_end = std::find_if(buffer.begin(), end, [](char byte) {
        return byte == '\n' || byte == '\r' || byte == '\0';
    });
    std::vector<char> text;
    text.reserve(buffer.size());
    text.assign(buffer.begin(), line_end);
    text.push_back('\0');
    ::explicit_bzero(buffer.data(), buffer.size());
    Secret secret(std::move(text));
    if (secret.size() == 0)
        return unusable(file, "its first line is empty; write the secret there");
    if (secret.size() > longest_secret)
        return unusable(file, "its first line has more than " + std::to_string(longest_secret) +
                                  " bytes; is it the right file?");
    return secret;
}

Secret::~Secret() {
    if (!text_.empty())
        ::explicit_bzero(text_.data(), text_.size());
}

Secret::Secret(Secret&& from) noexcept : text_(std::move(from.text_)) {}

} // namespace slotwitness::links
