#include "agent_key.hpp"

#include "known_hosts.hpp"

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/read.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>

#include <array>
#include <fstream>
#include <sstream>
#include <sys/socket.h>
#include <utility>

namespace slotwitness::links {

namespace asio = boost::asio;
using asio::local::stream_protocol;
using boost::system::error_code;

namespace {

// The SSH agent protocol (draft-ietf-sshm-ssh-agent, sections 4 and 6.1): a length, a type, the
// rest.
constexpr char agent_failure = 5;
constexpr char request_identities = 11;
constexpr char identities_answer = 12;
constexpr char sign_request = 13;
constexpr char sign_response = 14;
constexpr std::size_t longest_message = 256 * 1024;

std::string number(std::size_t value) {
    std::string bytes;
    for (const int shift : {24, 16, 8, 0})
        bytes.push_back(static_cast<char>(value >> shift & 0xff));
    return bytes;
}

/// A string of RFC 4251, section 5.
std::string counted(const std::string& text) {
    return number(text.size()) + text;
}

/// One message without its length; nothing where the peer is gone or says what nobody may.
asio::awaitable<std::string> read_message(stream_protocol::socket& socket) {
    std::array<unsigned char, 4> head{};
    error_code error;
    auto whole_head = asio::redirect_error(asio::use_awaitable, error);
    co_await asio::async_read(socket, asio::buffer(head), whole_head);
    std::size_t length = 0;
    for (const unsigned char byte : head)
        length = length << 8 | byte;
    std::string message;
    if (error || length == 0 || length > longest_message)
        co_return message;
    message.resize(length);
    auto whole_body = asio::redirect_error(asio::use_awaitable, error);
    co_await asio::async_read(socket, asio::buffer(message), whole_body);
    if (error)
        message.clear();
    co_return message;
}

asio::awaitable<bool> write_message(stream_protocol::socket& socket, const std::string& message) {
    const std::string bytes = counted(message);
    error_code error;
    auto token = asio::redirect_error(asio::use_awaitable, error);
    co_await asio::async_write(socket, asio::buffer(bytes), token);
    co_return !error;
}

LinkError unusable(const std::string& what) {
    return {LinkError::Kind::own_files, what};
}

/// The second word of a line as ssh-keygen writes it: "ssh-ed25519 AAAA… comment".
tl::expected<std::string, LinkError> read_public_key(const std::string& file) {
    std::ifstream stream(file);
    std::string type;
    std::string base64;
    stream >> type >> base64;
    auto blob = decode_base64(base64);
    if (!stream.is_open() || type.empty() || base64.empty() || !blob ||
        !blob->starts_with(counted(type)))
        return tl::unexpected(unusable(
            "key file " + file +
            ": it is not the public half of a key, which an agent is asked by; name the .pub file "
            "that ssh-keygen made, or write it with ssh-add -L"));
    return std::move(*blob);
}

} // namespace

AgentKey::AgentKey(asio::any_io_executor executor, std::string blob, std::string name)
    : near_(executor), agent_(executor), blob_(std::move(blob)), name_(std::move(name)) {}

tl::expected<std::shared_ptr<AgentKey>, LinkError> AgentKey::open(asio::any_io_executor executor,
                                                                  const Target& target) {
    auto blob = read_public_key(target.key_file);
    if (!blob)
        return tl::unexpected(blob.error());
    std::shared_ptr<AgentKey> key(
        new AgentKey(std::move(executor), std::move(*blob),
                     "the agent at " + target.agent + " with the key " + target.key_file));
    error_code error;
    if (target.agent.size() >= sizeof(sockaddr_un::sun_path))
        error = asio::error::name_too_long;
    else
        key->agent_.open(stream_protocol(), error);
    if (!error)
        key->agent_.non_blocking(true, error); // an agent with a full queue must not stop the loop
    if (!error)
        key->agent_.connect(stream_protocol::endpoint(target.agent), error);
    if (error)
        return tl::unexpected(
            unusable("the agent at " + target.agent + " is not reached (" + error.message() +
                     "); start it, or name its socket, which the daemon's account must reach"));
    return key;
}

int AgentKey::serve() {
    int ends[2];
    if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, ends) != 0)
        return -1;
    near_.assign(stream_protocol(), ends[0]);
    asio::co_spawn(near_.get_executor(), run(shared_from_this()), asio::detached);
    return ends[1];
}

void AgentKey::close() {
    error_code ignored;
    near_.shutdown(Socket::shutdown_both, ignored);
    near_.close(ignored);
    agent_.close(ignored);
}

asio::awaitable<void> AgentKey::run(std::shared_ptr<AgentKey> self) {
    for (;;) {
        std::string request = co_await read_message(self->near_);
        if (request.empty())
            break;
        const std::string reply = co_await self->answer(std::move(request));
        const bool is_sent = co_await write_message(self->near_, reply);
        if (!is_sent)
            break;
    }
    self->close();
}

asio::awaitable<std::string> AgentKey::answer(std::string request) {
    std::string reply(1, agent_failure);
    if (request.front() == request_identities) {
        reply = identities_answer + number(1) + counted(blob_) + counted("");
    } else if (request.front() == sign_request &&
               std::string_view(request).substr(1).starts_with(counted(blob_))) {
        trouble_ = name_ + " does not answer";
        const bool is_asked = co_await write_message(agent_, request);
        std::string told;
        if (is_asked)
            told = co_await read_message(agent_);
        if (!told.empty() && told.front() == sign_response) {
            trouble_.clear();
            reply = std::move(told);
        } else if (!told.empty()) {
            trouble_ = name_ + " does not sign; add the key to it (ssh-add), or unlock it";
        }
    }
    co_return reply;
}

} // namespace slotwitness::links
