#include "tar.hpp"

#include <cstring>
#include <stdexcept>

namespace slotwitness::pack::tar {

namespace {

constexpr std::size_t block = 512;

/// Places of the header's fields (IEEE Std 1003.1, pax, "ustar Interchange Format").
struct Place {
    std::size_t at, size;
};
constexpr Place name_at{0, 100}, mode_at{100, 8}, uid_at{108, 8}, gid_at{116, 8}, size_at{124, 12},
    time_at{136, 12}, sum_at{148, 8}, magic_at{257, 8};
constexpr std::size_t type_at = 156;

/// Octal digits to the field's end, which is a NUL.
void put(std::string& header, Place place, std::uint64_t number) {
    for (std::size_t digit = place.size - 1; digit-- > 0; number >>= 3U)
        header[place.at + digit] = static_cast<char>('0' + (number & 7U));
    if (number != 0)
        throw std::invalid_argument("a number that a tar header cannot hold");
}

} // namespace

std::string header(std::string_view name, std::uint64_t size, std::int64_t seconds) {
    if (name.size() > name_at.size)
        throw std::invalid_argument("a name that a tar header cannot hold");
    std::string header(block, '\0');
    header.replace(name_at.at, name.size(), name);
    put(header, mode_at, 0444);
    put(header, uid_at, 0);
    put(header, gid_at, 0);
    put(header, size_at, size);
    put(header, time_at, seconds < 0 ? 0U : static_cast<std::uint64_t>(seconds));
    header[type_at] = '0';
    header.replace(magic_at.at, magic_at.size, std::string_view{"ustar\00000", 8});
    header.replace(sum_at.at, sum_at.size, sum_at.size, ' '); // as which it counts in its own sum
    std::uint64_t sum = 0;
    for (const char c : header)
        sum += static_cast<unsigned char>(c);
    put(header, {sum_at.at, sum_at.size - 1}, sum);
    header[sum_at.at + sum_at.size - 2] = '\0';
    return header;
}

std::string padding(std::uint64_t size) {
    return std::string((block - size % block) % block, '\0');
}

std::string end() {
    return std::string(2 * block, '\0');
}

} // namespace slotwitness::pack::tar
