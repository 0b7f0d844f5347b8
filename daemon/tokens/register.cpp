#include "register.hpp"

#include "token_file.hpp"

#include <algorithm>
#include <sys/stat.h>

namespace slotwitness::tokens {

WallTime wall_clock() {
    return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
}

Register::Register(std::string path, WallClock clock)
    : path_(std::move(path)), clock_(std::move(clock)) {}

Register::Stamp Register::stamp() const {
    struct stat about {};
    if (::stat(path_.c_str(), &about) != 0)
        return {};
    // The time of change, not of modification: that one can be set back, and a mode changes this.
    return {about.st_dev,         about.st_ino,          about.st_size,
            about.st_ctim.tv_sec, about.st_ctim.tv_nsec, about.st_mode};
}

tl::expected<void, std::string> Register::look() {
    // Taken before it is read: who writes between the two is seen at the next look.
    const Stamp now = stamp();
    if (!has_read_ || now != read_) {
        tokens_ = load_tokens(path_);
        read_ = now;
        has_read_ = true;
    }
    if (!tokens_)
        return tl::unexpected(tokens_.error());
    return {};
}

tl::expected<const Token*, std::string> Register::find(std::string_view text) {
    if (const auto looked = look(); !looked)
        return tl::unexpected(looked.error());
    return tokens::find(*tokens_, text);
}

WallTime Register::now() {
    latest_ = std::max(latest_, clock_());
    return latest_;
}

} // namespace slotwitness::tokens
