#pragma once

#include "token.hpp"

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace slotwitness::tokens {

using WallClock = std::function<WallTime()>;
[[nodiscard]] WallTime wall_clock();

/// The tokens of a file, as the daemon goes by them. It looks at the file at each asking and reads
/// it anew when it is another, so that what is revoked is refused from the next request on. While
/// the file cannot be read, or has a fault, no token counts.
class Register {
  public:
    explicit Register(std::string path, WallClock clock = wall_clock);

    /// Nothing if the file is good; else why not, with the remedy.
    [[nodiscard]] tl::expected<void, std::string> look();
    /// The token that the text is: valid until the next call; null if it is none. The error is that
    /// of `look`.
    [[nodiscard]] tl::expected<const Token*, std::string> find(std::string_view text);
    /// Of the file.
    [[nodiscard]] const std::string& path() const { return path_; }
    /// Never goes back, also where the wall clock does: what has expired stays so.
    [[nodiscard]] WallTime now();

  private:
    /// What tells one file from another put in its place.
    struct Stamp {
        std::uint64_t device = 0, inode = 0;
        std::int64_t size = -1, seconds = 0, nanoseconds = 0;
        std::uint32_t mode = 0;
        friend bool operator==(const Stamp&, const Stamp&) = default;
    };
    [[nodiscard]] Stamp stamp() const;

    std::string path_;
    WallClock clock_;
    WallTime latest_{};
    Stamp read_; ///< when it was read
    bool has_read_ = false;
    tl::expected<std::vector<Token>, std::string> tokens_;
};

} // namespace slotwitness::tokens
