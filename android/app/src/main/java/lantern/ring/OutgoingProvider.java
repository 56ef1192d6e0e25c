package lantern.ring;

import android.content.ContentProvider;
import android.content.ContentValues;
import android.database.Cursor;
import android.database.MatrixCursor;
import android.net.Uri;
import android.os.ParcelFileDescriptor;
import android.provider.OpenableColumns;
import java.io.File;
import java.io.FileNotFoundException;

/** Lets the apps that were given an address read that one file of the folder of outgoing files, and nothing else. */
public class OutgoingProvider extends ContentProvider {
    /** Below the app's own files; src/platform/android writes there. */
    static final String FOLDER = "outgoing";

    static Uri address(String packageName, String name) {
        return new Uri.Builder()
                .scheme("content")
                .authority(packageName + ".outgoing")
                .appendPath(name)
                .build();
    }

    /** What other apps call a file of this name. A bundle has no type of its own that they know. */
    static String typeOf(String name) {
        return name.endsWith(".pdf") ? "application/pdf" : "application/octet-stream";
    }

    private File file(Uri address) throws FileNotFoundException {
        String name = address.getLastPathSegment();
        File folder = new File(getContext().getFilesDir(), FOLDER);
        // A name that is one of a file here, and no way out of the folder.
        String[] names = folder.list();
        if (names != null) {
            for (String own : names) {
                if (own.equals(name) && address.getPathSegments().size() == 1) {
                    return new File(folder, own);
                }
            }
        }
        throw new FileNotFoundException("no such file");
    }

    @Override
    public ParcelFileDescriptor openFile(Uri address, String mode) throws FileNotFoundException {
        if (!"r".equals(mode)) {
            throw new SecurityException("files are only read");
        }
        return ParcelFileDescriptor.open(file(address), ParcelFileDescriptor.MODE_READ_ONLY);
    }

    @Override
    public Cursor query(Uri address, String[] wanted, String selection, String[] arguments, String order) {
        MatrixCursor cursor =
                new MatrixCursor(new String[] {OpenableColumns.DISPLAY_NAME, OpenableColumns.SIZE});
        try {
            File file = file(address);
            cursor.addRow(new Object[] {file.getName(), file.length()});
        } catch (FileNotFoundException none) {
            // No row.
        }
        return cursor;
    }

    @Override
    public String getType(Uri address) {
        return typeOf(String.valueOf(address.getLastPathSegment()));
    }

    @Override
    public boolean onCreate() {
        return true;
    }

    @Override
    public Uri insert(Uri address, ContentValues values) {
        throw new UnsupportedOperationException();
    }

    @Override
    public int delete(Uri address, String selection, String[] arguments) {
        throw new UnsupportedOperationException();
    }

    @Override
    public int update(Uri address, ContentValues values, String selection, String[] arguments) {
        throw new UnsupportedOperationException();
    }
}
