#include "durable.hpp"

#include <cerrno>
#include <cstdio>
#include <fcntl.h>
#include <fstream>
#include <iterator>
#include <system_error>
#include <unistd.h>

namespace slotwitness::pack {

namespace {

namespace fs = std::filesystem;

tl::unexpected<PackError> failed(PackError::Kind kind, const char* what, const fs::path& path) {
    const std::string why = std::generic_category().message(errno);
    return tl::unexpected(
        PackError{kind, std::string("cannot ") + what + " " + path.string() + ": " + why});
}

/// Closes what it holds.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0)
            ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    [[nodiscard]] int get() const { return number_; }

  private:
    int number_;
};

bool write_all(int file, std::string_view bytes) {
    while (!bytes.empty()) {
        const ssize_t count = ::write(file, bytes.data(), bytes.size());
        if (count < 0 && errno == EINTR)
            continue;
        if (count < 0)
            return false;
        bytes.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

} // namespace

tl::expected<void, PackError> write_file(const fs::path& path, std::string_view bytes) {
    const Descriptor file(
        ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0640));
    if (file.get() < 0 || !write_all(file.get(), bytes) || ::fsync(file.get()) != 0)
        return failed(PackError::Kind::disk, "write", path);
    return {};
}

tl::expected<void, PackError> sync_folder(const fs::path& folder) {
    const Descriptor file(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (file.get() < 0 || ::fsync(file.get()) != 0)
        return failed(PackError::Kind::disk, "write", folder);
    return {};
}

tl::expected<void, PackError> move_folder(const fs::path& from, const fs::path& to) {
    // rename(2) replaces an empty folder, and only an empty one.
    if (std::rename(from.c_str(), to.c_str()) == 0)
        return {};
    const bool is_taken = errno == EEXIST || errno == ENOTEMPTY || errno == ENOTDIR;
    return failed(is_taken ? PackError::Kind::refused : PackError::Kind::disk, "write", to);
}

tl::expected<std::string, PackError> read_file(const fs::path& path) {
    std::error_code error;
    if (fs::exists(path, error) && !fs::is_regular_file(path, error))
        return tl::unexpected(PackError{PackError::Kind::damaged, path.string() + " is no file"});
    std::ifstream stream(path, std::ios::binary);
    std::string bytes;
    if (stream)
        bytes.assign(std::istreambuf_iterator<char>(stream), {});
    if (!stream)
        return failed(PackError::Kind::missing, "read", path);
    return bytes;
}

bool is_digest(std::string_view text) {
    return text.size() == 64 &&
           text.find_first_not_of("0123456789abcdef") == std::string_view::npos;
}

} // namespace slotwitness::pack
