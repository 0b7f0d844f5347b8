#pragma once

#include "link.hpp"

#include <string>

namespace slotwitness::links {

/// A passphrase or password. It is read anew for each connection, is never logged, printed or
/// journalled, and leaves no copy behind.
class Secret {
  public:
    /// The file's first line. The error, of kind `own_files`, says what to mend: it cannot be
    /// read, is empty, or others than its owner may read it.
    [[nodiscard]] static tl::expected<Secret, LinkError> read(const std::string& file);
    ~Secret();
    Secret(Secret&& from) noexcept;
    Secret& operator=(Secret&&) = delete;
    Secret(const Secret&) = delete;
    Secret& operator=(const Secret&) = delete;

    /// Valid as long as this.
    [[nodiscard]] const char* c_str() const { return text_.data(); }
    [[nodiscard]] std::size_t size() const { return text_.size() - 1; }

  private:
    explicit Secret(std::vector<char> text) : text_(std::move(text)) {}
    std::vector<char> text_; ///< ends with NUL; never grows, so that no old copy lies about
};

} // namespace slotwitness::links
