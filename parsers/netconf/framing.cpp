#include "framing.hpp"

#include <algorithm>
#include <charconv>
#include <utility>

namespace slotwitness::netconf {
namespace {

constexpr std::string_view mark = "]]>]]>";
constexpr std::string_view end_of_chunks = "\n##\n";
constexpr std::size_t most_digits = 10; ///< of a chunk's size: 1 to 4294967295
constexpr std::size_t largest_chunk = 4294967295;

state::Problem no_frame(std::string_view found, std::string expected) {
    constexpr std::size_t shown = 24;
    return {"NETCONF",
            {},
            std::string(found.substr(0, shown)),
            std::move(expected),
            "Check that what answers here speaks NETCONF over SSH (RFC 6242)."};
}

} // namespace

std::string framed(std::string_view message, Framing framing) {
    switch (framing) {
    case Framing::end_of_message:
        return std::string(message).append(mark);
    case Framing::chunks: {
        std::string bytes;
        for (; !message.empty(); message.remove_prefix(std::min(message.size(), largest_chunk))) {
            const std::string_view chunk = message.substr(0, largest_chunk);
            bytes.append("\n#").append(std::to_string(chunk.size())).append("\n").append(chunk);
        }
        return bytes.append(end_of_chunks);
    }
    }
    return {};
}

tl::expected<std::optional<std::string>, state::Problem> Deframer::next(Framing framing) {
    switch (framing) {
    case Framing::end_of_message:
        return next_marked();
    case Framing::chunks:
        return next_chunked();
    }
    return std::nullopt;
}

std::string Deframer::begun(Framing framing) const {
    return framing == Framing::chunks ? message_ : arrived_.substr(at_, longest_);
}

tl::expected<std::optional<std::string>, state::Problem> Deframer::next_marked() {
    // Devices part messages by line ends, which no XML document may begin with.
    while (at_ < arrived_.size() && (arrived_[at_] == '\n' || arrived_[at_] == '\r'))
        ++at_;
    searched_ = std::max(searched_, at_);
    const std::size_t end = arrived_.find(mark, searched_);
    const std::size_t length = std::min(end, arrived_.size()) - at_;
    // What has come of the mark does not count.
    std::size_t begun_mark = end == std::string::npos ? std::min(length, mark.size() - 1) : 0;
    while (begun_mark > 0 && !arrived_.ends_with(mark.substr(0, begun_mark)))
        --begun_mark;
    if (length - begun_mark > longest_)
        return tl::unexpected(too_long());
    if (end == std::string::npos) {
        searched_ = std::max(at_, arrived_.size() - std::min(arrived_.size(), mark.size() - 1));
        return std::nullopt;
    }
    std::string message = arrived_.substr(at_, length);
    at_ = searched_ = end + mark.size();
    forget_read();
    return message;
}

tl::expected<std::optional<std::string>, state::Problem> Deframer::next_chunked() {
    for (;;) {
        const std::size_t taken = std::min(rest_, arrived_.size() - at_);
        message_.append(arrived_, at_, taken);
        at_ += taken;
        rest_ -= taken;
        forget_read();
        if (rest_ != 0)
            return std::nullopt;
        const std::string_view frame = std::string_view(arrived_).substr(at_);
        if (has_chunk_ && frame.starts_with(end_of_chunks)) {
            at_ += end_of_chunks.size();
            has_chunk_ = false;
            return std::exchange(message_, {});
        }
        if (has_chunk_ && end_of_chunks.starts_with(frame))
            return std::nullopt;
        const auto size = chunk_size();
        if (!size)
            return tl::unexpected(size.error());
        if (!*size)
            return std::nullopt;
        if (**size > longest_ - message_.size())
            return tl::unexpected(too_long());
        rest_ = **size;
        has_chunk_ = true;
    }
}

/// Takes LF "#" size LF; nothing while it is not whole.
tl::expected<std::optional<std::size_t>, state::Problem> Deframer::chunk_size() {
    constexpr std::string_view begin = "\n#";
    const std::string_view frame = std::string_view(arrived_).substr(at_);
    if (begin.starts_with(frame))
        return std::nullopt;
    std::string_view digits = frame;
    if (frame.starts_with(begin)) {
        digits.remove_prefix(begin.size());
        const std::size_t count = std::min(digits.find_first_not_of("0123456789"), digits.size());
        const bool is_begun = count <= most_digits && (count == 0 || digits.front() != '0');
        if (is_begun && count == digits.size())
            return std::nullopt;
        std::size_t size = 0;
        std::from_chars(digits.data(), digits.data() + count, size);
        if (is_begun && count != 0 && size <= largest_chunk && digits[count] == '\n') {
            at_ += begin.size() + count + 1;
            return size;
        }
    }
    return tl::unexpected(no_frame(frame, std::string("a chunk: line feed, #, its size from 1 to ")
                                              .append(std::to_string(largest_chunk))
                                              .append(", line feed")
                                              .append(has_chunk_ ? "; or the end of chunks" : "")));
}

state::Problem Deframer::too_long() const {
    return {"NETCONF",
            {},
            "a longer message",
            "at most " + std::to_string(longest_) + " bytes",
            "Raise longest-answer in the profile."};
}

void Deframer::forget_read() {
    // Not at each message or chunk: taking bytes from the front moves all that follow.
    if (at_ < arrived_.size() && at_ < arrived_.size() / 2)
        return;
    arrived_.erase(0, at_);
    searched_ -= std::min(searched_, at_);
    at_ = 0;
}

} // namespace slotwitness::netconf
