#include "tls.hpp"

#include "stream_transport.hpp"

#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <openssl/ssl.h>

namespace slotwitness::api {

namespace {

namespace asio = boost::asio;
namespace ssl = asio::ssl;
using Secured = ssl::stream<asio::ip::tcp::socket>;

class TlsTransport final : public StreamTransport<Secured> {
  public:
    TlsTransport(Secured stream, std::string peer, Deadlines& deadlines)
        : StreamTransport(std::move(stream), std::move(peer), deadlines) {}

    asio::awaitable<Result<void>> begin(Clock::time_point deadline) override {
        auto shaking = stream().async_handshake(Secured::server, quietly);
        auto done = within(std::move(shaking), deadline);
        const Result<void> result = co_await std::move(done);
        co_return result;
    }
    /// Tells the end (close_notify), so that the client knows that nothing was cut off, and waits
    /// for the client's.
    asio::awaitable<void> shut_sending(Clock::time_point deadline) override {
        auto shutting = stream().async_shutdown(quietly);
        auto done = within(std::move(shutting), deadline);
        static_cast<void>(co_await std::move(done)); // the peer may be gone already
    }
    void close() override {
        boost::system::error_code ignored;
        stream().lowest_layer().close(ignored);
    }
};

class LoadedTls final : public Tls {
  public:
    LoadedTls() : context_(ssl::context::tls_server) {
        // RFC 9325 §3: nothing older than 1.2; §4: forward secrecy, and ciphers that authenticate.
        SSL_CTX_set_min_proto_version(context_.native_handle(), TLS1_2_VERSION);
        SSL_CTX_set_options(context_.native_handle(),
                            SSL_OP_NO_COMPRESSION | SSL_OP_NO_RENEGOTIATION);
        SSL_CTX_set_cipher_list(context_.native_handle(), "ECDHE+AESGCM:ECDHE+CHACHA20");
        SSL_CTX_set_alpn_select_cb(context_.native_handle(), choose_protocol, nullptr);
    }
    ssl::context& context() { return context_; }
    std::unique_ptr<Transport> secure(asio::ip::tcp::socket socket, std::string peer,
                                      Deadlines& deadlines) override {
        return std::make_unique<TlsTransport>(Secured(std::move(socket), context_), std::move(peer),
                                              deadlines);
    }

  private:
    /// RFC 7301: HTTP/1.1 where the client offers it; a client that only speaks others is told so.
    static int choose_protocol(SSL*, const unsigned char** out, unsigned char* length,
                               const unsigned char* offered, unsigned int size, void*) {
        static constexpr unsigned char ours[] = "\x08http/1.1";
        unsigned char* chosen = nullptr;
        if (SSL_select_next_proto(&chosen, length, ours, sizeof ours - 1, offered, size) !=
            OPENSSL_NPN_NEGOTIATED)
            return SSL_TLSEXT_ERR_ALERT_FATAL;
        *out = chosen;
        return SSL_TLSEXT_ERR_OK;
    }

    ssl::context context_;
};

} // namespace

tl::expected<std::unique_ptr<Tls>, std::string> load_tls(const std::string& certificate,
                                                         const std::string& key) {
    auto tls = std::make_unique<LoadedTls>();
    boost::system::error_code error;
    tls->context().use_certificate_chain_file(certificate, error);
    if (error)
        return tl::unexpected("cannot use the certificate " + certificate + ": " + error.message() +
                              "; it is a PEM file, the server's own certificate first");
    // A key with a passphrase would be asked for on a terminal that a daemon has not.
    tls->context().set_password_callback(
        [](std::size_t, ssl::context::password_purpose) { return std::string(); }, error);
    tls->context().use_private_key_file(key, ssl::context::pem, error);
    if (error)
        return tl::unexpected("cannot use the key " + key + ": " + error.message() +
                              "; it is the PEM file of the certificate's private key, without "
                              "passphrase");
    return tls;
}

} // namespace slotwitness::api
