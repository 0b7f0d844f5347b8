#pragma once

#include <slotwitness/state/problem.hpp>

#include <tl/expected.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// NETCONF (RFC 6241) over SSH (RFC 6242): messages out of a stream of bytes, and what may be said.
namespace slotwitness::netconf {

/// RFC 6242, section 4: chunks (4.2) once both sides announced :base:1.1, else, and for both hello
/// messages, the end-of-message mark (4.3).
enum class Framing { end_of_message, chunks };

/// The message as it goes over the wire.
[[nodiscard]] std::string framed(std::string_view message, Framing framing);

/// Cuts what arrives into messages. After an error the stream has no meaning any more: the channel
/// is to be closed (RFC 6242, section 4.2).
class Deframer {
  public:
    /// `longest`: bytes that one message may have.
    explicit Deframer(std::size_t longest) : longest_(longest) {}

    void feed(std::string_view bytes) { arrived_.append(bytes); }
    /// The next whole message, without frame; nothing while its end has not come. The error says
    /// what is no frame, or that the message is too long.
    [[nodiscard]] tl::expected<std::optional<std::string>, state::Problem> next(Framing framing);
    /// What has come of the message whose end has not, no more than it may have.
    [[nodiscard]] std::string begun(Framing framing) const;

  private:
    [[nodiscard]] tl::expected<std::optional<std::string>, state::Problem> next_marked();
    [[nodiscard]] tl::expected<std::optional<std::string>, state::Problem> next_chunked();
    [[nodiscard]] tl::expected<std::optional<std::size_t>, state::Problem> chunk_size();
    [[nodiscard]] state::Problem too_long() const;
    void forget_read();

    std::size_t longest_;
    std::string arrived_; ///< not yet cut, from `at_` on
    std::size_t at_ = 0;
    std::size_t searched_ = 0; ///< no end-of-message mark begins before this
    std::string message_;      ///< of the chunks that have come
    std::size_t rest_ = 0;     ///< bytes of the present chunk that have not
    bool has_chunk_ = false;   ///< the message has one
};

} // namespace slotwitness::netconf
