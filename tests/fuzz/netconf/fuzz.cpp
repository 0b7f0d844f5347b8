#include <slotwitness/netconf/framing.hpp>
#include <slotwitness/netconf/messages.hpp>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

using namespace slotwitness::netconf;

namespace {

constexpr std::size_t longest = 4'096;
constexpr std::uint64_t asked = 1;

/// What a stream came to: its messages, and whether it has a meaning still.
struct Cut {
    std::vector<std::string> messages;
    bool is_broken = false;
    friend bool operator==(const Cut&, const Cut&) = default;
};

void take_all(Deframer& deframer, Framing framing, Cut& cut) {
    while (!cut.is_broken) {
        const auto next = deframer.next(framing);
        cut.is_broken = !next;
        if (!next || !*next)
            return;
        if ((*next)->size() > longest)
            std::abort();
        cut.messages.push_back(**next);
    }
}

Cut cut_up(std::string_view stream, Framing framing, std::size_t piece) {
    Deframer deframer(longest);
    Cut cut;
    for (; !stream.empty() && !cut.is_broken;
         stream.remove_prefix(std::min(piece, stream.size()))) {
        deframer.feed(stream.substr(0, piece));
        take_all(deframer, framing, cut);
        if (deframer.begun(framing).size() > longest)
            std::abort();
    }
    return cut;
}

/// What is read of a message must stand in it: no reply out of nothing.
void read(std::string_view message) {
    const auto hello = read_hello(message);
    if (hello && message.find("session-id") == std::string_view::npos)
        std::abort();
    const auto reply = read_reply(message, asked);
    if (!reply)
        return;
    const auto stands = [&](std::string_view name) {
        return message.find(name) != std::string_view::npos;
    };
    if (!stands("rpc-reply") || (reply->has_data && !stands("data")) ||
        (!reply->errors.empty() && !stands("rpc-error")))
        std::abort();
    for (const std::string& error : reply->errors)
        if (error.empty())
            std::abort();
}

} // namespace

/// The first byte chooses the framing, the second how the stream arrives; the rest is what a device
/// says. However it arrives it is cut into the same messages, which are read without harm, and are
/// the same again once they were framed and cut anew.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 2)
        return 0;
    const Framing framing = (data[0] & 1U) != 0 ? Framing::chunks : Framing::end_of_message;
    const std::size_t piece = std::size_t{data[1]} + 1;
    const std::string_view stream{reinterpret_cast<const char*>(data) + 2, size - 2};
    const Cut whole = cut_up(stream, framing, stream.size() + 1);
    if (cut_up(stream, framing, piece) != whole)
        std::abort();
    std::string again;
    for (const std::string& message : whole.messages) {
        read(message);
        again += framed(message, framing);
    }
    if (cut_up(again, framing, piece).messages != whole.messages)
        std::abort();
    return 0;
}
