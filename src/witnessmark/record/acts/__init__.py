"""One function for each act: the change and its log entry in one transaction.

Every act takes who acts (`By`), the UUID made where it was typed, and what it is about.
Sent twice with the same content, it is answered the same and nothing changes.
"""
