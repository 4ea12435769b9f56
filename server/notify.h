/**
 * Telling the service manager how far we are: sd_notify's protocol, one datagram, without its library.
 */
#ifndef GW_NOTIFY_H
#define GW_NOTIFY_H

/** Send a state such as "READY=1" to $NOTIFY_SOCKET; nothing happens when there is none. */
void gw_notify(const char *state);

#endif
